//! Previews in each file format, and without any.

use std::collections::BTreeMap;
use std::sync::Arc;

use velatura::{Kept, MemoryOutputs, PreviewFormat, RenderOptions, Report, render, session};
use velatura_conformance::small_job;

type Files = BTreeMap<String, Vec<u8>>;

/// A render of the small job within a memory budget.
fn rendered(budget_bytes: usize, format: Option<PreviewFormat>) -> (Report, Files) {
    let session = session().budget_bytes(budget_bytes).build().unwrap();
    let job = small_job(&session).unwrap();
    let outputs = MemoryOutputs::new();
    let options = RenderOptions::default().previews(format);
    let report = render(&job, &options, &outputs).unwrap();
    (report, outputs.take())
}

const AMPLE: usize = 1 << 28;

fn previews(files: &Files) -> Vec<(&str, &[u8])> {
    let inside = files.iter();
    inside
        .filter_map(|(path, bytes)| Some((path.strip_prefix("previews/")?, &**bytes)))
        .collect()
}

#[test]
fn every_format_shows_the_same_pictures() {
    let (_, png) = rendered(AMPLE, Some(PreviewFormat::Png));
    let pixels = |bytes: &[u8]| image::load_from_memory(bytes).unwrap().into_rgb8();
    for (format, extension, allowed) in [
        (PreviewFormat::Webp, "webp", 0.0),
        // The small job is full of sharp edges, the worst case for a JPEG.
        (PreviewFormat::Jpeg, "jpg", 6.0),
    ] {
        let (report, files) = rendered(AMPLE, Some(format));
        assert!(files.contains_key("index.html") && files.contains_key("sheet.png"));
        let (png, other) = (previews(&png), previews(&files));
        assert!(png.len() == other.len() && png.len() >= 2, "{other:?}");
        for (((exact_name, exact), (name, bytes)), scheme) in
            png.into_iter().zip(&other).zip(&report.schemes)
        {
            assert_eq!(exact_name.replace("png", extension), *name);
            let listed = report.schemes.iter().filter_map(|one| one.preview.as_ref());
            assert!(
                listed.clone().any(|path| path.ends_with(name)),
                "{}",
                scheme.name
            );
            let (exact, shown) = (pixels(exact), pixels(bytes));
            assert_eq!(exact.dimensions(), shown.dimensions());
            let off = exact.iter().zip(shown.iter()).map(|(a, b)| a.abs_diff(*b));
            let mean = off.map(f64::from).sum::<f64>() / exact.len() as f64;
            assert!(mean <= allowed, "{name}: {mean} code values off");
        }
    }
}

#[test]
fn one_picture_at_a_time_gives_the_same_files_as_all_at_once() {
    for format in [PreviewFormat::Webp, PreviewFormat::Jpeg] {
        let (_, ample) = rendered(AMPLE, Some(format));
        let (_, scarce) = rendered(1, Some(format));
        assert_eq!(previews(&ample), previews(&scarce));
    }
}

#[test]
fn without_previews_the_page_has_its_pictures_and_no_link_to_one() {
    let (report, files) = rendered(AMPLE, None);
    assert!(previews(&files).is_empty());
    assert!(report.schemes.iter().all(|scheme| scheme.preview.is_none()));
    let page = String::from_utf8(files["index.html"].clone()).unwrap();
    assert!(page.contains("data:image/jpeg") && !page.contains("previews/"));
    let (_, usual) = rendered(AMPLE, Some(PreviewFormat::Png));
    assert_eq!(usual["sheet.png"], files["sheet.png"]);
    // Must fail: the usual page links its previews.
    let page = String::from_utf8(usual["index.html"].clone()).unwrap();
    assert!(page.contains("previews/"));
}

#[test]
fn a_render_that_keeps_what_was_drawn_gives_the_same_files() {
    let session = session().build().unwrap();
    for format in [Some(PreviewFormat::Png), None] {
        let mut job = small_job(&session).unwrap();
        assert!(job.schemes.len() >= 2);
        let kept = Arc::new(Kept::default());
        let options = RenderOptions::default().previews(format);
        let keeping = options.clone().keep(&kept);
        let mut on_disk = Files::new();
        for step in 0..5 {
            match step {
                // Another mix, another name and team, another order, one scheme less.
                1 => {
                    let coats = job.schemes[0].regions.iter_mut();
                    for coat in coats.flat_map(|stack| &mut stack.coats) {
                        coat.film *= 1.5;
                    }
                }
                2 => job.schemes[1].team = "Reedwardens".to_owned(),
                3 => job.schemes.swap(0, 1),
                4 => drop(job.schemes.pop()),
                _ => {}
            }
            let (all, some) = (MemoryOutputs::new(), MemoryOutputs::new());
            render(&job, &options, &all).unwrap();
            render(&job, &keeping, &some).unwrap();
            let (all, some) = (all.take(), some.take());
            if step == 0 {
                assert_eq!(
                    previews(&all).len(),
                    previews(&some).len(),
                    "nothing was kept yet"
                );
            } else {
                let new = previews(&some).len();
                let changed = if step == 1 { 1 } else { 0 };
                assert_eq!(
                    new,
                    if format.is_some() { changed } else { 0 },
                    "step {step}"
                );
            }
            // As in a folder, where files of the last render stay.
            on_disk.extend(some);
            for (path, bytes) in without_times(all) {
                let same = without_times(on_disk.clone())[&path] == bytes;
                assert!(same, "{path} differs at step {step}, {format:?}");
            }
        }
    }
}

fn without_times(mut files: Files) -> Files {
    let report = files.get_mut("report.json").unwrap();
    let mut value: serde_json::Value = serde_json::from_slice(report).unwrap();
    value.as_object_mut().unwrap().remove("timings_ms").unwrap();
    *report = value.to_string().into_bytes();
    files
}
