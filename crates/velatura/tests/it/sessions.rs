//! Jobs of one session do not meet: a stage that fails in one is left out of that one alone.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::sync::Barrier;

use velatura::{
    AnyStage, Cancel, Error, Job, JobFiles, MemoryOutputs, RenderOptions, Report, Session,
    ZipOutputs, render, session,
};
use velatura_conformance::{small_files, small_job};
use velatura_document::Diagnostic;
use velatura_pipeline::Parameters;
use velatura_pipeline::scheme::Scheme;
use velatura_pipeline::stage::{AttachPoint, Finish, FrameBand, Stage, StageInfo};

/// Makes coats darker; fails on every scheme of the Reedwardens. Two such failures wait for each other, so they are sure to
/// happen at the same time.
struct Brittle(Barrier);

impl Stage for Brittle {
    fn info(&self) -> StageInfo {
        StageInfo::new(AttachPoint::Finish, "brittle", "1")
            .with_words("frame", "frame")
            .with_reach_px(0)
    }
}

impl Finish for Brittle {
    fn finish(
        &self,
        scheme: &Scheme,
        band: &mut FrameBand<'_>,
        _: &Parameters,
    ) -> Result<(), Diagnostic> {
        if scheme.team == "Reedwardens" {
            if band.first_row == 0 {
                self.0.wait();
            }
            return Err(Diagnostic::error("brittle", "no reeds, please"));
        }
        for pixel in band.pixels.iter_mut() {
            for channel in &mut pixel[..3] {
                *channel *= 0.5;
            }
        }
        Ok(())
    }
}

fn brittle_session(failures_at_once: usize) -> Session {
    let brittle = AnyStage::Finish(Box::new(Brittle(Barrier::new(failures_at_once))));
    session().stage(brittle).build().unwrap()
}

/// The small job with one scheme, painted for a team.
fn job(session: &Session, team: &str) -> Job {
    let schemes = format!(
        "format = \"velatura-schemes/1\"\n[[scheme]]\nname = \"Foglight\"\nteam = \"{team}\"\n\
         [[scheme.coat]]\nregion = \"coat\"\nmix = {{ \"Oil Amber\" = 1 }}\nfilm = 1.0\n"
    );
    session
        .load(&small_files().with("schemes.toml", schemes), "figure.toml")
        .unwrap_or_else(|error| panic!("{error}"))
}

fn rendered(job: &Job) -> (Report, BTreeMap<String, Vec<u8>>) {
    let outputs = MemoryOutputs::new();
    let report = render(job, &RenderOptions::default(), &outputs).unwrap();
    (report, outputs.take())
}

const PREVIEW: &str = "previews/foglight.png";

#[test]
fn a_stage_that_fails_in_one_job_stays_in_the_other_and_in_the_next() {
    let session = brittle_session(1);
    let jobs = [job(&session, "Reedwardens"), job(&session, "Lamplighters")];
    let [failing, fine] = std::thread::scope(|scope| {
        jobs.each_ref()
            .map(|job| scope.spawn(|| rendered(job)))
            .map(|thread| thread.join().unwrap())
    });
    let next = rendered(&job(&session, "Lamplighters"));
    let plain = rendered(&job(&velatura::session().build().unwrap(), "Reedwardens"));

    assert_eq!(failing.0.left_out.len(), 1);
    assert_eq!(failing.0.left_out[0].stage.as_deref(), Some("brittle"));
    assert_eq!(failing.1[PREVIEW], plain.1[PREVIEW]);
    for other in [&fine, &next] {
        assert_eq!(other.0.left_out, []);
        assert_eq!(other.0.schemes[0].finishes, ["brittle"]);
        // Must fail to be equal: the finish works there.
        assert_ne!(other.1[PREVIEW], plain.1[PREVIEW]);
    }
    assert_eq!(fine.1[PREVIEW], next.1[PREVIEW]);
    assert_eq!(jobs[0].left_out(), [], "the job is as it was loaded");
}

#[test]
fn a_stage_that_fails_in_two_jobs_at_once_is_left_out_of_both() {
    let session = brittle_session(2);
    let jobs = [job(&session, "Reedwardens"), job(&session, "Reedwardens")];
    // A pool of its own for each, so that one can wait for the other on any machine.
    let reports = std::thread::scope(|scope| {
        jobs.each_ref()
            .map(|job| {
                scope.spawn(|| {
                    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build();
                    pool.unwrap().install(|| rendered(job).0)
                })
            })
            .map(|thread| thread.join().unwrap())
    });
    for report in reports {
        assert_eq!(report.left_out.len(), 1);
        assert_eq!(report.schemes[0].finishes, [""; 0]);
    }
}

#[test]
fn the_same_files_go_to_memory_and_into_an_archive() {
    let job = small_job(&session().build().unwrap()).unwrap();
    let (_, files) = rendered(&job);
    assert_eq!(files.len(), 6, "{:?}", files.keys());
    let mut bytes = Cursor::new(Vec::new());
    render(
        &job,
        &RenderOptions::default(),
        &ZipOutputs::new(&mut bytes),
    )
    .unwrap();
    let bytes = bytes.into_inner();
    // Stored, not compressed: the picture is in it byte for byte.
    let picture = &files["sheet.png"];
    assert!(bytes.windows(picture.len()).any(|part| part == picture));
}

#[test]
fn a_cancelled_render_leaves_no_file() {
    let job = small_job(&session().build().unwrap()).unwrap();
    let cancel = Cancel::default();
    cancel.stop();
    let outputs = MemoryOutputs::new();
    let options = RenderOptions::default().cancel(&cancel);
    let ended = render(&job, &options, &outputs);
    assert!(matches!(ended, Err(Error::Cancelled)), "{ended:?}");
    assert!(outputs.files().is_empty());
}

#[test]
fn only_the_named_schemes_are_rendered_and_an_unknown_name_is_refused() {
    let job = small_job(&session().build().unwrap()).unwrap();
    let only = |name: &str| {
        let outputs = MemoryOutputs::new();
        let options = RenderOptions::default().only([name]);
        render(&job, &options, &outputs).map(|_| outputs.take())
    };
    let files = only("Wick Smoke").unwrap();
    let previews: Vec<&String> = files
        .keys()
        .filter(|path| path.starts_with("previews/"))
        .collect();
    assert_eq!(previews, ["previews/wick-smoke.png"]);
    let text = only("Wick Smok").unwrap_err().to_string();
    assert!(
        text.contains("no scheme is called \"Wick Smok\"")
            && text.contains("did you mean \"Wick Smoke\"?"),
        "{text}"
    );
}

#[test]
fn a_wrong_key_does_not_hide_unknown_names_and_a_check_says_what_a_load_says() {
    let session = session().build().unwrap();
    let schemes = "format = \"velatura-schemes/1\"\n[[scheme]]\nname = \"Foglight\"\nvarnish = \"matte\"\n\
                   [[scheme.coat]]\nregion = \"cota\"\nmix = { \"Oil Ambre\" = 1 }\n";
    let files = small_files().with("schemes.toml", schemes);
    let error = session.load(&files, "figure.toml").unwrap_err();
    let found: Vec<&str> = error
        .diagnostics()
        .iter()
        .map(|problem| &*problem.found)
        .collect();
    assert_eq!(
        found,
        [
            "unknown key `varnish`",
            "no region is called \"cota\"",
            "no paint is called \"Oil Ambre\""
        ]
    );
    let checked = session
        .check(&files, &JobFiles::next_to("figure.toml"))
        .unwrap();
    // A check also reports what only makes a preview less useful, here the small photo.
    assert_eq!(checked.schemes, error.diagnostics());
}

#[test]
fn parts_that_this_photo_does_not_show_are_skipped_with_one_warning() {
    let session = session().build().unwrap();
    let schemes = "format = \"velatura-schemes/1\"\n[[scheme]]\nname = \"Front and back\"\n\
                   [[scheme.coat]]\nregion = \"visage\"\nmix = { medium = 1 }\n\
                   [[scheme.coat]]\nregion = \"coat\"\nmix = { \"Oil Amber\" = 1 }\n\
                   [[scheme.coat]]\nregion = \"wings\"\nmix = { medium = 1 }\n\
                   [[scheme.coat]]\nregion = \"visage\"\nmix = { medium = 2 }\n";
    let files = small_files().with("schemes.toml", schemes);
    let job = session.load(&files, "figure.toml").unwrap();
    let coats = job.schemes[0].regions.iter().map(|stack| stack.coats.len());
    assert_eq!(coats.sum::<usize>(), 1);
    let skipped: Vec<&str> = job
        .warnings
        .iter()
        .map(|one| &*one.found)
        .filter(|found| found.contains("no region"))
        .collect();
    assert_eq!(
        skipped,
        ["this figure has no region \"visage\" or \"wings\": 3 coats skipped"]
    );
}
