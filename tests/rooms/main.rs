//! Crates import downwards only.

mod circles;
mod neutral_words;

use cargo_metadata::{DependencyKind, MetadataCommand};
use velatura_tests::root;

/// From the top crate to the lowest, as DEVELOPERS.md lists them.
const ROOMS: [&str; 20] = [
    "velatura-cli",
    "velatura-desk",
    "velatura-python",
    "velatura-testkit",
    "velatura",
    "velatura-conformance",
    "velatura-bench-card",
    "velatura-pair",
    "velatura-sheet",
    "velatura-report",
    "velatura-output",
    "velatura-plugin-host",
    "velatura-pipeline",
    "velatura-shaders",
    "velatura-scheme",
    "velatura-regions",
    "velatura-figure",
    "velatura-swatch",
    "velatura-photo",
    "velatura-optics",
];

/// The lowest crate of all: everything may import it.
const FLOOR: &str = "velatura-document";

/// Edges between crates that point upwards or sideways.
fn wrong_ways(edges: &[(String, String)]) -> Vec<String> {
    let depth = |room: &str| {
        let above = ROOMS.iter().position(|known| *known == room);
        above.or_else(|| (room == FLOOR).then_some(ROOMS.len()))
    };
    edges
        .iter()
        .filter_map(|(from, to)| match (depth(from), depth(to)) {
            (Some(from_depth), Some(to_depth)) if from_depth < to_depth => None,
            _ => Some(format!("{from} imports {to}")),
        })
        .collect()
}

#[test]
fn imports_point_down() {
    let metadata = MetadataCommand::new()
        .manifest_path(root().join("Cargo.toml"))
        .no_deps()
        .exec()
        .unwrap();
    let mut edges = Vec::new();
    for package in metadata.workspace_packages() {
        // Tools of the build and tests are no part of the program.
        if ["velatura-tests", "velatura-to-javascript"].contains(&package.name.as_str()) {
            continue;
        }
        assert!(
            ROOMS.contains(&package.name.as_str()) || package.name.as_str() == FLOOR,
            "{} is not a known room",
            package.name
        );
        for dependency in &package.dependencies {
            if dependency.kind == DependencyKind::Normal && dependency.name.starts_with("velatura")
            {
                edges.push((package.name.to_string(), dependency.name.clone()));
            }
        }
    }
    assert!(edges.len() >= 60, "{}: {edges:?}", edges.len());
    assert_eq!(wrong_ways(&edges), Vec::<String>::new());
}

#[test]
fn an_upward_import_would_be_seen() {
    let upward = [("velatura-optics".to_owned(), "velatura-sheet".to_owned())];
    assert_eq!(
        wrong_ways(&upward),
        ["velatura-optics imports velatura-sheet"]
    );
}

#[test]
fn kernels_know_no_room_at_all() {
    let metadata = MetadataCommand::new()
        .manifest_path(root().join("Cargo.toml"))
        .no_deps()
        .exec()
        .unwrap();
    let shaders = metadata
        .workspace_packages()
        .into_iter()
        .find(|p| p.name.as_str() == "velatura-shaders")
        .unwrap();
    assert!(
        shaders
            .dependencies
            .iter()
            .all(|dependency| !dependency.name.starts_with("velatura"))
    );
}
