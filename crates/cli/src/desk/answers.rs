//! What the server answers: the page, the figure's folder as a project, and a save into that folder.
//!
//! In: requests. Out: responses. Other pages of the same browser must not get at the folder: every address begins with a secret, the
//! request must have come to this machine's own address, and a save must come from the page itself.

use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

use http_body_util::Full;
use hyper::body::Bytes;
use hyper::header::{
    CACHE_CONTROL, CONTENT_ENCODING, CONTENT_TYPE, HOST, ORIGIN, X_CONTENT_TYPE_OPTIONS,
};
use hyper::{HeaderMap, Method, Response, StatusCode};
use velatura::DiskFiles;
use velatura_desk::FigureFolder;
use velatura_output::{OutputFolder, Outputs as _};
use velatura_photo::DecodeLimits;
use velatura_pipeline::Error;

type File = (&'static str, bool, &'static [u8]);

/// The page: names of its files, whether they are compressed, their bytes.
const PAGE: &[File] = &include!(concat!(env!("OUT_DIR"), "/page.rs"));

/// A figure's folder, and what a page is allowed to ask.
pub(crate) struct Answers {
    address: SocketAddr,
    token: String,
    folder: Option<Mutex<FigureFolder>>,
    limits: DecodeLimits,
}

impl Answers {
    /// Answers for the page at this address; `folder` is on the desk, if there is one.
    pub(crate) fn new(
        address: SocketAddr,
        token: String,
        folder: Option<FigureFolder>,
        limits: DecodeLimits,
    ) -> Self {
        Self {
            address,
            token,
            folder: folder.map(Mutex::new),
            limits,
        }
    }

    /// Where the page is.
    pub(crate) fn url(&self) -> String {
        format!("http://{}/{}/", self.address, self.token)
    }

    /// The answer to a request.
    pub(crate) fn to(
        &self,
        method: &Method,
        path: &str,
        headers: &HeaderMap,
        body: &[u8],
    ) -> Response<Full<Bytes>> {
        let is = |name, wanted: &str| {
            headers
                .get(name)
                .is_some_and(|value| value.as_bytes() == wanted.as_bytes())
        };
        if !is(HOST, &self.address.to_string()) {
            return plain(
                StatusCode::MISDIRECTED_REQUEST,
                "This server answers to its own address only.",
            );
        }
        let file = path
            .strip_prefix('/')
            .and_then(|path| path.strip_prefix(&self.token)?.strip_prefix('/'));
        match (method, file) {
            (&Method::GET, Some("")) => self.page(),
            (&Method::GET, Some("project.zip")) => self.project(),
            (&Method::GET, Some(name)) => match PAGE.iter().find(|(file, ..)| *file == name) {
                Some(file) => page_file(file),
                None => plain(StatusCode::NOT_FOUND, "There is no such file."),
            },
            (&Method::POST, Some("save")) if !is(ORIGIN, &format!("http://{}", self.address)) => {
                plain(StatusCode::FORBIDDEN, "Only the page itself saves.")
            }
            (&Method::POST, Some("save")) => self.save(body),
            _ => plain(
                StatusCode::NOT_FOUND,
                "There is nothing here. Open the address that the command printed.",
            ),
        }
    }

    /// The page, which finds the name of the folder in its first element.
    fn page(&self) -> Response<Full<Bytes>> {
        let page = PAGE
            .iter()
            .find(|(name, ..)| *name == "index.html")
            .map_or("", |(.., bytes)| {
                std::str::from_utf8(bytes).unwrap_or_default()
            });
        let page = match &self.folder {
            None => page.to_owned(),
            Some(folder) => {
                let folder = folder.lock().unwrap_or_else(PoisonError::into_inner);
                let name = folder.folder().display().to_string();
                let name = if name.is_empty() {
                    ".".to_owned()
                } else {
                    name
                };
                let shown = name
                    .replace('&', "&amp;")
                    .replace('"', "&quot;")
                    .replace('<', "&lt;");
                page.replacen("<html", &format!("<html data-folder=\"{shown}\""), 1)
            }
        };
        respond(StatusCode::OK, "text/html; charset=utf-8", page)
    }

    fn project(&self) -> Response<Full<Bytes>> {
        let Some(folder) = &self.folder else {
            return plain(StatusCode::NOT_FOUND, "No figure was named.");
        };
        let mut folder = folder.lock().unwrap_or_else(PoisonError::into_inner);
        match folder.project(&DiskFiles) {
            Ok(zip) => respond(StatusCode::OK, "application/zip", zip),
            Err(error) => problems(&error),
        }
    }

    fn save(&self, project: &[u8]) -> Response<Full<Bytes>> {
        let Some(folder) = &self.folder else {
            return plain(StatusCode::NOT_FOUND, "No figure was named.");
        };
        let mut folder = folder.lock().unwrap_or_else(PoisonError::into_inner);
        match saved(&mut folder, project, &self.limits) {
            Ok(names) => respond(
                StatusCode::OK,
                "application/json",
                serde_json::json!({ "written": names }).to_string(),
            ),
            Err(error) => problems(&error),
        }
    }
}

/// Writes what a project changes in the folder, all of it or nothing. Returns the names of the files.
fn saved(
    folder: &mut FigureFolder,
    project: &[u8],
    limits: &DecodeLimits,
) -> Result<Vec<String>, Error> {
    let changes = folder.changes(&DiskFiles, project, limits)?;
    // The current folder has an empty path.
    let place = PathBuf::from(".").join(folder.folder());
    let name = |path: &PathBuf| {
        let relative = path.strip_prefix(folder.folder()).unwrap_or(path);
        relative.to_string_lossy().replace('\\', "/")
    };
    let names: Vec<String> = changes.keys().map(name).collect();
    if !names.is_empty() {
        let outputs = OutputFolder::new(place);
        let set = outputs.open(&names, &[])?;
        for (name, bytes) in names.iter().zip(changes.values()) {
            set.write(name, bytes)?;
        }
        set.commit()?;
    }
    folder.saved(&changes);
    Ok(names)
}

fn page_file((name, compressed, bytes): &File) -> Response<Full<Bytes>> {
    let kind = match name.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript",
        Some("css") => "text/css",
        Some("svg") => "image/svg+xml",
        Some("wasm") => "application/wasm",
        Some("webmanifest") => "application/manifest+json",
        _ => "application/octet-stream",
    };
    let mut response = respond(StatusCode::OK, kind, *bytes);
    if *compressed {
        let gzip = hyper::header::HeaderValue::from_static("gzip");
        response.headers_mut().insert(CONTENT_ENCODING, gzip);
    }
    response
}

fn problems(error: &Error) -> Response<Full<Bytes>> {
    let problems = serde_json::json!({ "problems": error.diagnostics() });
    respond(
        StatusCode::CONFLICT,
        "application/json",
        problems.to_string(),
    )
}

fn plain(status: StatusCode, text: &'static str) -> Response<Full<Bytes>> {
    respond(status, "text/plain; charset=utf-8", text)
}

fn respond(
    status: StatusCode,
    kind: &'static str,
    body: impl Into<Bytes>,
) -> Response<Full<Bytes>> {
    let mut response = Response::new(Full::new(body.into()));
    *response.status_mut() = status;
    let headers = response.headers_mut();
    for (name, value) in [
        (CONTENT_TYPE, kind),
        (CACHE_CONTROL, "no-store"),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
    ] {
        headers.insert(name, hyper::header::HeaderValue::from_static(value));
    }
    response
}
