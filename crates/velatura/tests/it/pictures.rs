//! Pictures in memory: the pixels of the previews.

use velatura::{Cancel, Error, MemoryOutputs, RenderOptions, render, render_pictures, session};
use velatura_conformance::small_job;

#[test]
fn pictures_are_the_pixels_of_the_previews() {
    let job = small_job(&session().build().unwrap()).unwrap();
    let outputs = MemoryOutputs::new();
    let report = render(&job, &RenderOptions::default(), &outputs).unwrap();
    let files = outputs.take();
    let made = render_pictures(&job, &RenderOptions::default()).unwrap();
    assert!(made.left_out.is_empty());
    assert!(made.pictures.len() >= 2 && made.pictures.len() == report.schemes.len());
    for (picture, scheme) in made.pictures.iter().zip(&report.schemes) {
        assert_eq!(picture.name, scheme.name);
        let preview = &files[scheme.preview.as_ref().unwrap()];
        let preview = image::load_from_memory(preview).unwrap().into_rgb8();
        assert_eq!(preview.as_raw(), picture.pixels.as_flattened());
    }
    // Must fail: another scheme has other pixels.
    assert_ne!(made.pictures[0].pixels, made.pictures[1].pixels);
}

#[test]
fn only_the_named_schemes_are_made_and_a_stop_is_heard() {
    let job = small_job(&session().build().unwrap()).unwrap();
    let name = job.schemes[1].name.clone();
    let one = RenderOptions::default().only([&name]);
    let made = render_pictures(&job, &one).unwrap().pictures;
    assert!(made.len() == 1 && made[0].name == name);
    let unknown = RenderOptions::default().only(["none"]);
    assert!(matches!(
        render_pictures(&job, &unknown),
        Err(Error::Call(_))
    ));
    let cancel = Cancel::default();
    cancel.stop();
    let stopped = RenderOptions::default().cancel(&cancel);
    assert!(matches!(
        render_pictures(&job, &stopped),
        Err(Error::Cancelled)
    ));
}
