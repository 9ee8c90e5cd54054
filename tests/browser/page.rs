//! `index.html` of the demo figure with four schemes.

use std::sync::LazyLock;

use serde_json::{Value, json};
use velatura::{DiskFiles, MemoryOutputs, RenderOptions, render, session};
use velatura_tests::root;

use crate::chromium::{axe, driven, loaded, printed};

const SCHEMES: [&str; 4] = ["Foglight", "Wick & Ember", "Low Tide", "Regatta Day"];

static PAGE: LazyLock<String> = LazyLock::new(|| {
    let figure = root().join("demo_images/lamplighter/figure.toml");
    let job = session().build().unwrap().load(&DiskFiles, figure).unwrap();
    let outputs = MemoryOutputs::new();
    render(&job, &RenderOptions::default().only(SCHEMES), &outputs).unwrap();
    String::from_utf8(outputs.files()["index.html"].clone()).unwrap()
});

/// Shared by the scripts: a control by its name, and what the pictures show.
const TOOLS: &str = "
    const part = (name) => document.querySelector(`[data-part=\"${name}\"]`);
    const change = (name, value) => {
        part(name).value = value;
        for (const kind of ['input', 'change']) part(name).dispatchEvent(new Event(kind, { bubbles: true }));
    };
    const stage = part('stage');
    const shown = () => [...stage.querySelectorAll('.pane')].map((pane) => pane.dataset.of);
    const look = () => ['--zoom', '--x', '--y'].map((name) => parseFloat(stage.style.getPropertyValue(name)));
    const boxes = () => [...stage.querySelectorAll('.pane img')].map((img) => img.getBoundingClientRect().width);
";

fn drive(width: u32, script: &str) -> Value {
    driven(&PAGE, width, &format!("{TOOLS}{script}"))
}

fn numbers(list: &Value) -> Vec<f64> {
    let list = list.as_array().expect("a list").iter();
    list.map(|one| one.as_f64().expect("numbers")).collect()
}

pub(crate) fn every_control_does_what_it_says() {
    let found = drive(
        1200,
        "
        const result = { first: shown(), hidden: document.getElementById('compare').hidden };
        change('left', 'Foglight'); change('right', 'Low Tide');
        result.two = shown();
        change('divider', '20');
        result.divide = stage.style.getPropertyValue('--divide');
        part('flip').click();
        result.flipped = [part('divider').value];
        part('flip').click();
        result.flipped.push(part('divider').value);
        part('closer').click();
        result.closer = look();
        result.wide = boxes();
        part('back').click();
        part('far').click();
        result.far = look();
        part('fit').click();
        result.fit = look();
        result.ways = [...part('see').options].map((one) => one.value).map((way) => {
            change('see', way);
            const name = stage.style.filter.match(/#([a-z-]+)/);
            return name ? document.getElementById(name[1]).tagName : stage.style.filter;
        });
        part('all').click();
        result.all = shown();
        result.twoHidden = getComputedStyle(part('two')).display;
        change('paint', 'Deep Eel');
        result.filtered = shown();
        result.count = part('count').textContent;
        result.links = [...document.querySelectorAll('nav a')].filter((one) => !one.hidden).length;
        change('paint', '');
        result.again = shown().length;
        return result;",
    );
    assert_eq!(found["hidden"], false);
    assert_eq!(found["first"], json!(["the photo", "Foglight"]));
    assert_eq!(found["two"], json!(["Foglight", "Low Tide"]));
    assert_eq!(found["divide"], "20%");
    assert_eq!(found["flipped"], json!(["100", "0"]));
    assert_eq!(numbers(&found["closer"]), [1.5, -25.0, -25.0]);
    assert_eq!(found["wide"][0], found["wide"][1], "both at the same zoom");
    assert_eq!(found["far"][0], 0.12);
    assert_eq!(numbers(&found["fit"]), [1.0, 0.0, 0.0]);
    assert_eq!(
        found["ways"],
        json!(["", "filter", "filter", "filter", "filter"])
    );
    let all = [&["the photo"], &SCHEMES[..]].concat();
    assert_eq!(found["all"], json!(all));
    assert_eq!(found["twoHidden"], "none");
    let filtered = found["filtered"].as_array().unwrap().len();
    assert!((2..all.len()).contains(&filtered), "{found}");
    let schemes = filtered - 1;
    assert_eq!(
        found["count"],
        format!("{schemes} of 4 schemes use Deep Eel")
    );
    assert_eq!(found["links"], schemes);
    assert_eq!(found["again"], all.len());
}

pub(crate) fn the_keyboard_moves_and_zooms() {
    let found = drive(
        1200,
        "
        const press = (key) => {
            stage.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
            return look();
        };
        stage.focus();
        const result = { focus: document.activeElement === stage };
        for (const key of ['+', 'ArrowLeft', 'ArrowUp', 'ArrowRight', '-', '0']) result[key] = press(key);
        const order = [...document.querySelectorAll('a, button, select, input, summary, [tabindex]')];
        result.unreachable = order.filter((one) => one.tabIndex < 0).length;
        return result;",
    );
    assert_eq!(found["focus"], true);
    assert_eq!(numbers(&found["+"]), [1.5, -25.0, -25.0]);
    assert_eq!(numbers(&found["ArrowLeft"]), [1.5, -15.0, -25.0]);
    assert_eq!(numbers(&found["ArrowUp"]), [1.5, -15.0, -15.0]);
    assert_eq!(numbers(&found["ArrowRight"]), [1.5, -25.0, -15.0]);
    assert_eq!(numbers(&found["0"]), [1.0, 0.0, 0.0]);
    assert_eq!(found["unreachable"], 0);
}

pub(crate) fn favourites_become_an_option() {
    let found = drive(
        1200,
        "
        const before = part('kept').value;
        for (const box of document.querySelectorAll('.keep input')) {
            if (box.value !== 'Low Tide') box.click();
        }
        return [before, part('kept').value];",
    );
    let option = "--only \"Foglight\" \"Wick & Ember\" \"Regatta Day\"";
    assert_eq!(found, json!(["", option]));
}

pub(crate) fn nothing_is_wider_than_a_phone() {
    // A window cannot be this narrow everywhere, a frame can.
    let found = driven(
        &PAGE,
        1200,
        "
        const frame = document.createElement('iframe');
        frame.style.width = '390px';
        frame.srcdoc = document.documentElement.outerHTML.replace(/<script[^]*<\\/script>/g, '');
        document.body.append(frame);
        await new Promise((done) => { frame.onload = done; });
        const inside = frame.contentDocument;
        const widest = [...inside.querySelectorAll('main *')]
            .map((one) => one.getBoundingClientRect().right)
            .reduce((most, one) => Math.max(most, one), 0);
        return [frame.contentWindow.innerWidth, inside.documentElement.scrollWidth, Math.ceil(widest)];",
    );
    let [inner, scrolled, widest] = [0, 1, 2].map(|at| found[at].as_u64().unwrap());
    assert!((370..=400).contains(&inner), "{found}");
    assert!(scrolled <= inner && widest <= inner, "{found}");
}

pub(crate) fn a_scheme_prints_on_one_page() {
    let (pages, bytes) = printed(&PAGE);
    // The head and the photo, a page for each scheme, and the cautions after the last one.
    assert!(pages <= SCHEMES.len() + 3, "{pages} pages");
    assert!(
        pages > SCHEMES.len(),
        "{pages} pages: each scheme begins a new one"
    );
    assert!(bytes < 5_000_000, "{bytes} bytes");
}

pub(crate) fn no_script_runs_but_the_pages_own() {
    let strange = "<script>document.body.dataset.strange = 'ran';</script></body>";
    let page = PAGE.replace("</body>", strange);
    let dom = loaded(&page, 1200);
    assert!(!dom.contains("data-strange"), "a strange script ran");
    // Must be there: the page's own script has opened the section.
    assert!(
        dom.contains("<section id=\"compare\">"),
        "its own script did not run"
    );
    assert!(PAGE.contains("<section id=\"compare\" hidden=\"hidden\">"));
}

pub(crate) fn axe_finds_nothing_serious() {
    let axe = axe().expect("VELATURA_AXE names axe.min.js");
    let with_axe = |page: &str| page.replace("</head>", &format!("<script>{axe}</script></head>"));
    let checked = |page: &str, width: u32| {
        driven(
            page,
            width,
            "
            const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
            const result = await axe.run(document, { runOnly: tags });
            return {
                passed: result.passes.length,
                failed: result.violations.map((one) => `${one.id}: ${one.nodes[0].html}`),
            };",
        )
    };
    for width in [1200, 500] {
        let found = checked(&with_axe(&PAGE), width);
        assert!(found["passed"].as_u64().unwrap() > 10, "{found}");
        assert_eq!(found["failed"], json!([]), "at {width} pixels");
    }
    // Must fail: a picture without words.
    let spoiled = PAGE.replacen(" alt=", " data-alt=", 1);
    let found = checked(&with_axe(&spoiled), 1200)["failed"].to_string();
    assert!(found.contains("image-alt"), "{found}");
}
