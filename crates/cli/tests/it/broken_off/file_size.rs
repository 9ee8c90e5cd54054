//! No room for a file, at any size: exit status 3, a message that names the file, and nothing left.

use super::desk::{CALLS, before_and_after, cleared, desk, listing, run};
use super::{Chance, times};

#[test]
fn a_limit_on_the_size_of_files_at_any_size() {
    let folder = desk();
    let folder = folder.path();
    let mut chance = Chance(5);
    for call in CALLS {
        let [before, after] = before_and_after(folder, call);
        let largest = after.iter().filter(|(name, _)| !before.contains_key(*name));
        let largest = largest.map(|(_, bytes)| bytes.len()).max().unwrap() / 512;
        let mut refused = 0;
        for _ in 0..times(5) {
            // In blocks of 512 bytes.
            let blocks = chance.below(largest as u64 + 2);
            let output = run(folder, &format!("ulimit -f {blocks};"), call);
            let message = String::from_utf8_lossy(&output.stderr);
            let what = format!("{call} with files of {blocks} blocks at most: {message}");
            let found = listing(folder);
            match output.status.code() {
                Some(0) => assert!(found == after, "{what}"),
                Some(3) => {
                    refused += 1;
                    assert!(found == before, "{what}: {:?}", found.keys());
                    assert!(message.contains("nothing was written"), "{what}");
                    let names = [".png: ", ".toml: ", ".json: ", ".html: "];
                    assert!(names.iter().any(|name| message.contains(name)), "{what}");
                    for part in ["\n  expected: ", "\n  help: "] {
                        assert!(message.contains(part), "{what}");
                    }
                }
                other => panic!("{other:?}: {what}"),
            }
            cleared(folder);
        }
        assert!(refused > 0, "{call}: no limit was too low");
    }
}
