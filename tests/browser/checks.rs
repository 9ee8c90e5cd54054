//! What every page must pass: a phone's width, and accessibility.

use crate::chromium::{axe, driven};

/// Widths in pixels of a page in a window of 390 pixels.
#[derive(Debug)]
pub(crate) struct Widths {
    pub(crate) window: u64,
    /// What can be scrolled to.
    pub(crate) page: u64,
    /// The right edge of the element that ends farthest to the right.
    pub(crate) widest: u64,
    /// The same, of tables alone.
    pub(crate) widest_table: u64,
}

/// How wide a page is on a phone.
pub(crate) fn on_a_phone(page: &str) -> Widths {
    // A window cannot be this narrow everywhere, a frame can.
    let found = driven(
        page,
        1200,
        "
        const frame = document.createElement('iframe');
        frame.style.width = '390px';
        frame.srcdoc = document.documentElement.outerHTML.replace(/<script[^]*<\\/script>/g, '');
        document.body.append(frame);
        await new Promise((done) => { frame.onload = done; });
        const inside = frame.contentDocument;
        // What is in a strip that scrolls by itself does not widen the page.
        const scrolls = (one) => frame.contentWindow.getComputedStyle(one).overflowX === 'auto';
        const in_strip = (one) => one.parentElement && (scrolls(one.parentElement) || in_strip(one.parentElement));
        const widest = (which) => Math.ceil([...inside.querySelectorAll(which)]
            .filter((one) => !in_strip(one))
            .map((one) => one.getBoundingClientRect().right)
            .reduce((most, one) => Math.max(most, one), 0));
        return [frame.contentWindow.innerWidth, inside.documentElement.scrollWidth, widest('body *'), widest('table')];",
    );
    let [window, page, widest, widest_table] = [0, 1, 2, 3].map(|at| found[at].as_u64().unwrap());
    assert!((370..=400).contains(&window), "{found}");
    Widths {
        window,
        page,
        widest,
        widest_table,
    }
}

/// What axe-core finds wrong on a page by WCAG 2.2 AA.
pub(crate) fn axe_findings(page: &str, width: u32) -> Vec<String> {
    let axe = axe().expect("VELATURA_AXE names axe.min.js");
    let with_axe = page.replace("</head>", &format!("<script>{axe}</script></head>"));
    let found = driven(
        &with_axe,
        width,
        "
        const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
        const result = await axe.run(document, { runOnly: tags });
        return {
            passed: result.passes.length,
            failed: result.violations.map((one) => `${one.id}: ${one.nodes[0].html}`),
        };",
    );
    assert!(found["passed"].as_u64().unwrap() > 7, "{found}");
    serde_json::from_value(found["failed"].clone()).unwrap()
}
