//! Puts the page of the desk into the command (feature `desk`): every file of the built page, compressed as browsers take it.

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    #[cfg(feature = "desk")]
    page::put_in();
}

#[cfg(feature = "desk")]
mod page {
    use std::fs;
    use std::io::Write as _;
    use std::path::{Path, PathBuf};

    use flate2::Compression;
    use flate2::write::GzEncoder;

    /// Writes `page.rs`, a list of the page's files. Pages stay as they are: the command writes something into one of them.
    pub(crate) fn put_in() {
        let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../desk/page/dist");
        println!("cargo::rerun-if-changed={}", page.display());
        let files = files_of(&page);
        if !files.iter().any(|file| file.ends_with("engine_bg.wasm")) {
            println!(
                "cargo::error=The page of the desk is not built yet. Run crates/desk/build.sh, then this command again."
            );
            return;
        }
        let out = PathBuf::from(std::env::var("OUT_DIR").expect("cargo sets it"));
        let mut list = String::from("[\n");
        for file in files {
            let name = file
                .file_name()
                .and_then(|name| name.to_str())
                .expect("our own names");
            // A page that comes from this machine needs no copy of itself in the browser.
            if name == "sw.js" {
                continue;
            }
            let as_it_is = name.ends_with(".html");
            let bytes = fs::read(&file).expect("a file of the built page");
            let bytes = if as_it_is { bytes } else { compressed(&bytes) };
            let place = out.join(name);
            fs::write(&place, bytes).expect("the build's own folder");
            let place = place.display();
            list += &format!(
                "    (\"{name}\", {}, include_bytes!(r\"{place}\")),\n",
                !as_it_is
            );
        }
        list += "]\n";
        fs::write(out.join("page.rs"), list).expect("the build's own folder");
    }

    fn files_of(folder: &Path) -> Vec<PathBuf> {
        let entries = fs::read_dir(folder).into_iter().flatten().flatten();
        let mut files: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
        files.sort();
        files
    }

    fn compressed(bytes: &[u8]) -> Vec<u8> {
        let mut gzip = GzEncoder::new(Vec::new(), Compression::best());
        gzip.write_all(bytes)
            .and_then(|()| gzip.finish())
            .expect("memory takes all")
    }
}
