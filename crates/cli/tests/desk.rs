//! `velatura desk` as another program of the machine meets it: who gets the page, and what a save writes.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};

use velatura_desk::{Desk, PutKind, TakeKind};

/// The program, serving a folder; it ends with the test.
struct Served {
    program: Child,
    host: String,
    token: String,
}

impl Served {
    fn folder(folder: &Path) -> Self {
        let mut program = Command::new(env!("CARGO_BIN_EXE_velatura"))
            .args(["desk", "--no-browser", "figure.toml"])
            .current_dir(folder)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(program.stdout.take().unwrap())
            .read_line(&mut line)
            .unwrap();
        let url = line.trim().strip_prefix("The desk is at http://").unwrap();
        let (host, token) = url.trim_end_matches('/').split_once('/').unwrap();
        Self {
            program,
            host: host.to_owned(),
            token: token.to_owned(),
        }
    }

    /// Status and body of an answer to a request that a browser would not make.
    fn ask(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: &[u8],
    ) -> (u16, Vec<u8>) {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        let mut head = format!(
            "{method} {path} HTTP/1.1\r\nConnection: close\r\nContent-Length: {}\r\n",
            body.len()
        );
        for (name, value) in headers {
            head += &format!("{name}: {value}\r\n");
        }
        stream.write_all(format!("{head}\r\n").as_bytes()).unwrap();
        stream.write_all(body).unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        let end = answer
            .windows(4)
            .position(|four| four == b"\r\n\r\n")
            .unwrap();
        let head = String::from_utf8(answer[..end].to_vec()).unwrap();
        let status = head.split(' ').nth(1).unwrap().parse().unwrap();
        (status, answer[end + 4..].to_vec())
    }

    fn get(&self, name: &str) -> (u16, Vec<u8>) {
        let path = format!("/{}/{name}", self.token);
        self.ask("GET", &path, &[("Host", &self.host)], &[])
    }

    fn save(&self, origin: &str, project: &[u8]) -> (u16, String) {
        let path = format!("/{}/save", self.token);
        let headers = [("Host", self.host.as_str()), ("Origin", origin)];
        let (status, body) = self.ask("POST", &path, &headers, project);
        (status, String::from_utf8(body).unwrap())
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

/// A folder with the demo figure, the Lamplighter (invented).
fn folder() -> tempfile::TempDir {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo_images/lamplighter");
    let folder = tempfile::tempdir().unwrap();
    for file in std::fs::read_dir(demo).unwrap() {
        let file = file.unwrap();
        if file.file_type().unwrap().is_file() {
            std::fs::copy(file.path(), folder.path().join(file.file_name())).unwrap();
        }
    }
    folder
}

#[test]
fn only_who_knows_the_address_gets_anything() {
    let folder = folder();
    let served = Served::folder(folder.path());
    let (status, page) = served.get("");
    let page = String::from_utf8(page).unwrap();
    assert_eq!(status, 200);
    assert!(page.contains("<html data-folder=\".\""), "{page}");
    let (status, engine) = served.get("engine_bg.wasm");
    assert_eq!(
        (status, &engine[..2]),
        (200, &[0x1f, 0x8b][..]),
        "compressed"
    );
    assert_eq!(served.get("../figure.toml").0, 404);
    assert_eq!(served.get("sw.js").0, 404);

    let host = [("Host", served.host.as_str())];
    assert_eq!(served.ask("GET", "/", &host, &[]).0, 404);
    assert_eq!(served.ask("GET", "/0123/project.zip", &host, &[]).0, 404);
    // A name that someone else pointed at this machine.
    let path = format!("/{}/project.zip", served.token);
    assert_eq!(
        served.ask("GET", &path, &[("Host", "fen.example")], &[]).0,
        421
    );
    assert_eq!(served.save("http://fen.example", b"").0, 403);
}

#[test]
fn a_save_writes_what_was_changed_and_a_second_program_is_not_overwritten() {
    let folder = folder();
    let served = Served::folder(folder.path());
    let origin = format!("http://{}", served.host);
    let (status, project) = served.get("project.zip");
    assert_eq!(status, 200);
    let mut desk = Desk::new().unwrap();
    desk.put(PutKind::Kept, "folder.zip", project).unwrap();
    let command = serde_json::json!({"do": "rename_scheme", "scheme": 0, "name": "Eel Market"});
    desk.run(&serde_json::from_value(command).unwrap()).unwrap();
    let project = desk.take(TakeKind::Project, 0, 0).unwrap().bytes;

    let photo = std::fs::read(folder.path().join("lamplighter.jpg")).unwrap();
    let figure = std::fs::read(folder.path().join("figure.toml")).unwrap();
    let (status, answer) = served.save(&origin, &project);
    assert_eq!(
        (status, answer.as_str()),
        (200, r#"{"written":["schemes.toml"]}"#)
    );
    let schemes = std::fs::read_to_string(folder.path().join("schemes.toml")).unwrap();
    assert!(schemes.contains("Eel Market"));
    assert!(std::fs::read(folder.path().join("lamplighter.jpg")).unwrap() == photo);
    assert!(std::fs::read(folder.path().join("figure.toml")).unwrap() == figure);
    assert_eq!(served.save(&origin, &project).1, r#"{"written":[]}"#);

    std::fs::write(folder.path().join("schemes.toml"), schemes + "# by hand\n").unwrap();
    let (status, answer) = served.save(&origin, &project);
    assert_eq!(status, 409);
    assert!(
        answer.contains("another program changed this file"),
        "{answer}"
    );
    assert_eq!(served.save(&origin, b"no zip").0, 409);
}

#[test]
fn a_figure_that_is_not_there_is_said_before_any_page() {
    let folder = tempfile::tempdir().unwrap();
    let done = Command::new(env!("CARGO_BIN_EXE_velatura"))
        .args(["desk", "--no-browser", "figure.toml"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert_eq!(done.status.code(), Some(1), "{done:?}");
    assert!(
        String::from_utf8_lossy(&done.stderr).contains("figure.toml"),
        "{done:?}"
    );
}
