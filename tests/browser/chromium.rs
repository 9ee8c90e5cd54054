//! Chromium without a window: a page in, the page after its scripts ran or its print out.

use std::path::{Path, PathBuf};
use std::process::Command;

/// The browser, if there is one.
pub(crate) fn program() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os("VELATURA_BROWSER") {
        return Some(named.into());
    }
    let folders: Vec<PathBuf> = std::env::split_paths(&std::env::var_os("PATH")?).collect();
    ["chromium", "chromium-browser", "google-chrome"]
        .iter()
        .flat_map(|name| folders.iter().map(move |folder| folder.join(name)))
        .find(|path| path.is_file())
}

/// The checker of accessibility, as a script.
pub(crate) fn axe() -> Option<String> {
    std::fs::read_to_string(std::env::var_os("VELATURA_AXE")?).ok()
}

/// A call of the browser on a page of this width, with a profile of its own.
fn run(folder: &Path, page: &str, width: u32, arguments: &[&str]) -> Vec<u8> {
    let file = folder.join("page.html");
    std::fs::write(&file, page).unwrap();
    let output = Command::new(program().expect("a browser: install Chromium"))
        .args(["--headless", "--no-sandbox", "--disable-gpu"])
        .arg(format!(
            "--user-data-dir={}",
            folder.join("profile").display()
        ))
        .arg(format!("--window-size={width},900"))
        .arg("--virtual-time-budget=30000")
        .args(arguments)
        .arg(format!("file://{}", file.display()))
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    output.stdout
}

/// The page as it is after its scripts ran.
pub(crate) fn loaded(page: &str, width: u32) -> String {
    let folder = tempfile::tempdir().unwrap();
    String::from_utf8(run(folder.path(), page, width, &["--dump-dom"])).unwrap()
}

/// What a script at the end of a page returns, as JSON. The page's policy, if it has one, is taken out, or the script would not run.
pub(crate) fn driven(page: &str, width: u32, script: &str) -> serde_json::Value {
    let open = match page.split_once("<meta http-equiv=\"Content-Security-Policy\"") {
        Some((before, rest)) => {
            let (_, after) = rest.split_once('>').unwrap();
            format!("{before}{after}")
        }
        None => page.to_owned(),
    };
    let driver = format!(
        "<script>(async () => {{ {script} }})().then((found) => ({{ found }}), (why) => ({{ why: String(why) }}))\
         .then((end) => {{ const left = document.createElement('template'); left.id = 'driven';\
         left.dataset.end = JSON.stringify(end); document.body.append(left); }});</script></body>"
    );
    let dom = loaded(&open.replace("</body>", &driver), width);
    let at = dom.find("id=\"driven\"").expect("the script ended");
    let (_, value) = dom[at..].split_once("data-end=\"").unwrap();
    let (value, _) = value.split_once('"').unwrap();
    let value = value
        .replace("&quot;", "\"")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&nbsp;", "\u{a0}")
        .replace("&amp;", "&");
    let end: serde_json::Value = serde_json::from_str(&value).unwrap();
    assert!(end["why"].is_null(), "{end}");
    end["found"].clone()
}

/// The pages of the page's print, and its size in bytes.
pub(crate) fn printed(page: &str) -> (usize, usize) {
    let folder = tempfile::tempdir().unwrap();
    let pdf = folder.path().join("print.pdf");
    let to = format!("--print-to-pdf={}", pdf.display());
    run(folder.path(), page, 1200, &["--no-pdf-header-footer", &to]);
    let bytes = std::fs::read(pdf).unwrap();
    let text: String = bytes.iter().map(|byte| char::from(*byte)).collect();
    let pages = text.matches("/Type /Page").count() - text.matches("/Type /Pages").count();
    (pages, bytes.len())
}
