//! Previews of an earlier run that nobody would look for any more: those of schemes that were renamed or removed.

use velatura_pipeline::serde_json::{self, Value};
use velatura_report::REPORT_FORMAT;
use velatura_sheet::PreviewFormat;

/// The longest report that is read, in bytes: some hundred times that of a large team. As values it takes several times as much memory.
const LONGEST: usize = 4_000_000;

/// The previews that an earlier `report.json` lists and that are not among `current`, the previews of all schemes of the job. A
/// report of another kind, or one that somebody broke, lists none, and paths outside `previews/` do not count.
pub(crate) fn old_previews(report: &[u8], current: &[String]) -> Vec<String> {
    if report.len() > LONGEST {
        return Vec::new();
    }
    let report: Value = serde_json::from_slice(report).unwrap_or_default();
    if report["format"] != REPORT_FORMAT {
        return Vec::new();
    }
    let schemes = report["schemes"].as_array().map_or(&[][..], Vec::as_slice);
    schemes
        .iter()
        .filter_map(|scheme| scheme["preview"].as_str())
        .filter(|path| is_preview(path) && !current.iter().any(|own| own == path))
        .map(str::to_owned)
        .collect()
}

/// `previews/NAME.png` or with the ending of another format, without a folder in between.
fn is_preview(path: &str) -> bool {
    let Some((name, end)) = path
        .strip_prefix("previews/")
        .and_then(|file| file.rsplit_once('.'))
    else {
        return false;
    };
    PreviewFormat::ALL
        .iter()
        .any(|format| format.extension() == end)
        && !name.is_empty()
        && !name.contains(['/', '\\'])
        && !name.starts_with('.')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_listed_previews_that_no_scheme_has_are_old() {
        let listed = |previews: &[&str]| {
            let schemes: Vec<Value> = previews
                .iter()
                .map(|path| serde_json::json!({ "preview": path }))
                .collect();
            let report = serde_json::json!({ "format": REPORT_FORMAT, "schemes": schemes });
            old_previews(
                report.to_string().as_bytes(),
                &["previews/fog.png".to_owned()],
            )
        };
        let found = listed(&[
            "previews/fog.png",
            "previews/old.png",
            "previews/../schemes.toml",
            "previews/deeper/a.png",
            "previews/..png",
            "previews/.png",
            "/previews/a.png",
            "sheet.png",
            "previews/a.txt",
            "previews/..\\a.png",
        ]);
        assert_eq!(found, ["previews/old.png"]);
        for broken in [
            "",
            "[]",
            "null",
            "{\"format\": \"velatura-pair/1\", \"schemes\": [{\"preview\": \"previews/a.png\"}]}",
        ] {
            assert!(old_previews(broken.as_bytes(), &[]).is_empty(), "{broken}");
        }
        let sheet_only =
            format!("{{\"format\": \"{REPORT_FORMAT}\", \"schemes\": [{{\"preview\": null}}]}}");
        assert!(old_previews(sheet_only.as_bytes(), &[]).is_empty());
    }
}
