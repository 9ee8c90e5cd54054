//! `index.html` of the demo figure with four schemes.

use std::sync::LazyLock;

use serde_json::{Value, json};
use velatura::{DiskFiles, MemoryOutputs, RenderOptions, render, session};
use velatura_tests::root;

use crate::checks::{axe_findings, on_a_phone};
use crate::chromium::{driven, loaded, printed};

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
        result.far = boxes();
        result.farPx = Number(document.getElementById('compare').dataset.farPx);
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
    // The figure is 32 mm tall and fills most of the picture's height, so from 1 m away it looks about 32 × 2.7 pixels tall.
    let (far, wanted) = (
        found["far"][0].as_f64().unwrap(),
        found["farPx"].as_f64().unwrap(),
    );
    assert!((far - wanted).abs() < 0.5, "{far} for {wanted}");
    assert!((30.0..150.0).contains(&far), "{far} pixels wide");
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
    let width = on_a_phone(&PAGE);
    assert!(width.page <= width.window, "{width:?}");
    assert!(width.widest <= width.window, "{width:?}");
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
    let section = |page: &str| {
        let at = page.find("<section id=\"compare\"").expect("the section");
        let (tag, _) = page[at..].split_once('>').unwrap();
        tag.to_owned()
    };
    assert!(
        !section(&dom).contains("hidden"),
        "its own script did not run"
    );
    assert!(section(&PAGE).contains("hidden"));
}

pub(crate) fn axe_finds_nothing_serious() {
    for width in [1200, 500] {
        let found = axe_findings(&PAGE, width);
        assert!(found.is_empty(), "at {width} pixels: {found:?}");
    }
    // Must fail: a picture without words.
    let spoiled = PAGE.replacen(" alt=", " data-alt=", 1);
    let found = axe_findings(&spoiled, 1200).join("; ");
    assert!(found.contains("image-alt"), "{found}");
}
