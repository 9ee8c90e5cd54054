//! A test kit for the authors of stages.
//!
//! Add these lines to a test:
//!
//! ```
//! # use velatura_pipeline::stage::{AttachPoint, SheetText, Stage, StageInfo, TextKind};
//! # use velatura_pipeline::{Parameters, document::Diagnostic};
//! # struct Mine;
//! # impl Stage for Mine {
//! #     fn info(&self) -> StageInfo {
//! #         StageInfo::new(AttachPoint::SheetText, "mine", "1").with_words("report.json", "its length")
//! #     }
//! # }
//! # impl SheetText for Mine {
//! #     fn kind(&self) -> TextKind { TextKind::Txt }
//! #     fn text(&self, report: &str, _: &Parameters) -> Result<String, Diagnostic> {
//! #         Ok(format!("{} bytes", report.len()))
//! #     }
//! # }
//! use velatura_pipeline::AnyStage;
//!
//! let report = velatura_conformance::check(&AnyStage::SheetText(Box::new(Mine)));
//! assert_eq!(report.breaches(), [], "{report}");
//! ```
//!
//! The kit runs a stage on a tiny job (see [`small_job`]) and applies every [`Check`] of its attach point: the result is the
//! same on every call and thread, bands equal the whole picture, numbers stay in range, odd sizes work. Panics are caught and
//! reported. The kit cannot see whether the result is *good*, or how a stage performs on a photo of many megapixels.

mod calls;
mod coat_model;
mod described;
mod finish;
mod finish_bands;
mod ground;
mod intake;
mod limits;
mod regions;
mod report;
mod schemes;
mod sheet;
mod sheet_text;
mod small;
mod small_parts;

pub use limits::{
    KERNEL_CODES, LARGEST_LIGHT_UNIT, LARGEST_NUMBER, LEAST_NUMBER, NAME_CHARS, SENTENCE_CHARS,
    SHEET_SIDE_PX, TEXT_BYTES,
};
pub use report::{Breach, Check, Report};
pub use small::{
    pictures, small_file, small_files, small_job, small_job_with, small_photo, small_report,
    small_sheet_pictures, small_sheet_request, small_strokes,
};

use velatura_pipeline::AnyStage;
use velatura_pipeline::Parameters;
use velatura_pipeline::parameters::defaults;

/// Applies the checks of a stage's attach point, with the defaults of its schema as parameters.
#[must_use]
pub fn check(stage: &AnyStage) -> Report {
    checked(stage, None)
}

/// Like [`check`], with your own parameters; they are not validated against the schema.
#[must_use]
pub fn check_with(stage: &AnyStage, parameters: &Parameters) -> Report {
    checked(stage, Some(parameters))
}

fn checked(stage: &AnyStage, parameters: Option<&Parameters>) -> Report {
    let info = match calls::guarded(|| stage.info()) {
        Ok(info) => info,
        Err(words) => {
            let mut report = Report::of("");
            report.made(Check::SameInfo, Err(words));
            return report;
        }
    };
    let mut report = Report::of(&info.name);
    described::check(&mut report, stage, &info);
    let parameters = match parameters {
        Some(given) => given.clone(),
        None => match defaults(&info.parameters) {
            Ok(defaults) => {
                report.made(Check::Defaults, Ok(()));
                defaults
            }
            Err(problems) => {
                let found: Vec<&str> = problems.iter().map(|one| &*one.found).collect();
                let words = format!("{}: give them to `check_with`", found.join("; "));
                report.made(Check::Defaults, Err(words));
                return report;
            }
        },
    };
    let (kit, asked) = (&mut report, &parameters);
    match stage {
        AnyStage::Intake(stage) => intake::check(kit, &info, &**stage, asked),
        AnyStage::Ground(stage) => ground::check(kit, &info, &**stage, asked),
        AnyStage::Regions(stage) => regions::check(kit, &info, &**stage, asked),
        AnyStage::SchemeSource(stage) => schemes::check_source(kit, &info, &**stage, asked),
        AnyStage::SchemeTransform(stage) => schemes::check_transform(kit, &info, &**stage, asked),
        AnyStage::CoatModel(stage) => coat_model::check(kit, &info, &**stage, asked),
        AnyStage::Finish(stage) => finish::check(kit, &info, &**stage, asked),
        AnyStage::Sheet(stage) => sheet::check(kit, &info, &**stage, asked),
        AnyStage::SheetText(stage) => sheet_text::check(kit, &info, &**stage, asked),
    }
    report
}

#[cfg(test)]
mod tests {
    use super::*;
    use velatura_pipeline::built_in_stages;

    #[test]
    fn every_built_in_keeps_every_check() {
        let stages = built_in_stages();
        assert_eq!(stages.len(), 6);
        for stage in stages {
            let report = check(&stage);
            assert_eq!(report.breaches(), [], "{report}");
            assert!(
                report.kept(Check::Works) && report.kept(Check::ManyThreads),
                "{report}"
            );
        }
    }
}
