//! A server on the loopback address: only programs of this machine reach it.

use std::convert::Infallible;
use std::net::{Ipv4Addr, SocketAddr};
use std::rc::Rc;

use http_body_util::{BodyExt as _, Limited};
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Request, Response, StatusCode};
use hyper_util::rt::{TokioIo, TokioTimer};
use tokio::net::TcpListener;
use tokio::runtime::{Builder, Runtime};
use tokio::task::LocalSet;
use velatura_document::LARGEST_PICTURE_BYTES;
use velatura_pipeline::Error;

use super::Answers;

/// A port of this machine that nobody else uses.
pub(crate) struct Server {
    runtime: Runtime,
    listener: TcpListener,
    address: SocketAddr,
}

impl Server {
    /// Takes a free port.
    ///
    /// # Errors
    /// [`Error::Machine`] if there is none.
    pub(crate) fn open() -> Result<Self, Error> {
        let failed = |error| Error::io("the desk", "opening a port of this machine", error);
        let runtime = Builder::new_current_thread()
            .enable_io()
            .enable_time()
            .build()
            .map_err(failed)?;
        let listener = runtime
            .block_on(TcpListener::bind((Ipv4Addr::LOCALHOST, 0)))
            .map_err(failed)?;
        let address = listener.local_addr().map_err(failed)?;
        Ok(Self {
            runtime,
            listener,
            address,
        })
    }

    /// Its address.
    pub(crate) fn address(&self) -> SocketAddr {
        self.address
    }

    /// Answers until the program ends.
    pub(crate) fn run(self, answers: Answers) {
        let answers = Rc::new(answers);
        LocalSet::new().block_on(&self.runtime, async move {
            loop {
                // A connection that failed is the browser's to make again.
                let Ok((stream, _)) = self.listener.accept().await else {
                    continue;
                };
                let answers = Rc::clone(&answers);
                let service = service_fn(move |request| answered(Rc::clone(&answers), request));
                let connection = http1::Builder::new()
                    .timer(TokioTimer::new())
                    .serve_connection(TokioIo::new(stream), service);
                tokio::task::spawn_local(async move {
                    // A browser may close a connection at any moment.
                    let _ = connection.await;
                });
            }
        });
    }
}

async fn answered(
    answers: Rc<Answers>,
    request: Request<Incoming>,
) -> Result<Response<http_body_util::Full<hyper::body::Bytes>>, Infallible> {
    let (head, body) = request.into_parts();
    let most = usize::try_from(LARGEST_PICTURE_BYTES).unwrap_or(usize::MAX);
    let Ok(body) = Limited::new(body, most).collect().await else {
        let mut refused = Response::default();
        *refused.status_mut() = StatusCode::PAYLOAD_TOO_LARGE;
        return Ok(refused);
    };
    Ok(answers.to(
        &head.method,
        head.uri.path(),
        &head.headers,
        &body.to_bytes(),
    ))
}

/// A secret for the address: 128 random bits in hexadecimal digits.
///
/// # Errors
/// [`Error::Machine`] if the system gives no random numbers.
pub(crate) fn token() -> Result<String, Error> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes).map_err(|error| {
        let found = format!("the system gives no random numbers: {error}");
        Error::machine(velatura_document::Diagnostic::error("", found))
    })?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}
