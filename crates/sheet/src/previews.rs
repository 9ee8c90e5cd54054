//! Pictures to PNG, a few rows at a time, so that no whole frame has to be in memory.
//!
//! In: rows of 8-bit sRGB, top to bottom. Out: PNG (8-bit RGB with an `sRGB` chunk) into any writer.
//! Not here: where the bytes go (`velatura-output`).

use std::io::{self, Write};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use velatura_document::Error;

// Measured on a 4000 × 3000 photo-like picture (`examples/png_speed.rs`, test profile, one thread),
// MB of pixels per second and size in % of the pixels:
//   stored 370, 100 % · fdeflate: Sub 566, 46.5 %; Up 571, 46.6 %; Avg 452, 44.2 %; Paeth 485, 47.3 %; Adaptive 234,
//   44.2 %; unfiltered 446, 149 % · flate2 level 1 with Up 128, 47.9 %; level 6 with Adaptive 11, 38.4 %.
// So writing fewer bytes beats storing them, and ten 12 MP pictures cost 0.6 s in all instead of 33 s at the usual level.
const DEFLATE: png::DeflateCompression = png::DeflateCompression::FdeflateUltraFast;
const FILTER: png::Filter = png::Filter::Up;

/// Bytes collected before they are passed on as one IDAT chunk. With the crate's 4 KiB the chunk heads and the many
/// small writes cost more than the compression saves.
const CHUNK_BYTES: usize = 1 << 18;

/// Writes one PNG, rows at a time.
pub struct PreviewWriter<W: Write + 'static> {
    stream: png::StreamWriter<'static, Sink<W>>,
    sink: Sink<W>,
    width: usize,
    rows_left: usize,
    height: u32,
}

impl<W: Write + 'static> std::fmt::Debug for PreviewWriter<W> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("PreviewWriter")
            .field("width", &self.width)
            .field("height", &self.height)
            .field("rows_left", &self.rows_left)
            .finish_non_exhaustive()
    }
}

impl<W: Write + 'static> PreviewWriter<W> {
    /// Writes the head of a picture of `width` × `height` pixels. A buffer around `writer` gains nothing.
    ///
    /// # Errors
    /// [`Error::Call`] for a picture without pixels; [`Error::Machine`] if `writer` refuses.
    pub fn new(writer: W, width: u32, height: u32) -> Result<Self, Error> {
        let columns = usize::try_from(width).ok().filter(|&width| width > 0);
        let rows = usize::try_from(height).ok().filter(|&height| height > 0);
        let (Some(columns), Some(rows)) = (columns, rows) else {
            return Err(Error::refused(
                "",
                format!("a picture of {width} × {height} pixels"),
                "at least 1 × 1",
                "",
            ));
        };
        let sink = Sink::around(writer);
        let mut encoder = png::Encoder::new(sink.clone(), width, height);
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_source_srgb(png::SrgbRenderingIntent::RelativeColorimetric);
        encoder.set_deflate_compression(DEFLATE);
        encoder.set_filter(FILTER);
        let stream = encoder
            .write_header()
            .and_then(|head| head.into_stream_writer_with_size(CHUNK_BYTES))
            .map_err(|error| encoder_error(error.into()))?;
        sink.check()?;
        Ok(Self {
            stream,
            sink,
            width: columns,
            rows_left: rows,
            height,
        })
    }

    /// Adds whole rows below those already written: `rows` is `n × width` pixels, row-major, for any n.
    ///
    /// # Errors
    /// [`Error::Call`] for a broken row or more rows than the picture has; [`Error::Machine`] if the writer refuses.
    pub fn write_rows(&mut self, rows: &[[u8; 3]]) -> Result<(), Error> {
        self.write_bytes(rows.as_flattened())
    }

    pub(crate) fn write_bytes(&mut self, rows: &[u8]) -> Result<(), Error> {
        let row_bytes = 3 * self.width;
        let count = rows.len() / row_bytes;
        if count * row_bytes != rows.len() {
            return Err(Error::refused(
                "",
                format!("{} pixels are not whole rows", rows.len() / 3),
                &format!("a multiple of {}", self.width),
                "",
            ));
        }
        let Some(left) = self.rows_left.checked_sub(count) else {
            return Err(Error::refused(
                "",
                format!(
                    "{count} more rows for a picture that lacks {}",
                    self.rows_left
                ),
                &format!("{} rows in all", self.height),
                "",
            ));
        };
        self.stream.write_all(rows).map_err(encoder_error)?;
        self.rows_left = left;
        self.sink.check()
    }

    /// Ends the picture and returns the writer.
    ///
    /// # Errors
    /// [`Error::Call`] if rows are missing; [`Error::Machine`] if the writer refuses.
    ///
    /// # Panics
    /// Never: the encoder has released the writer by then.
    pub fn finish(self) -> Result<W, Error> {
        let Self {
            stream,
            sink,
            rows_left,
            height,
            ..
        } = self;
        if rows_left > 0 {
            return Err(Error::refused(
                "",
                format!("{rows_left} rows are missing"),
                &format!("{height} rows in all"),
                "",
            ));
        }
        stream
            .finish()
            .map_err(|error| encoder_error(error.into()))?;
        sink.flush_inner();
        sink.check()?;
        let state = Arc::into_inner(sink.0).expect("the finished encoder dropped its own handle");
        Ok(state
            .into_inner()
            .unwrap_or_else(PoisonError::into_inner)
            .writer)
    }
}

/// Writes a whole picture as PNG bytes into `writer`, for the contact sheet.
///
/// # Errors
/// As [`PreviewWriter::new`] and [`PreviewWriter::write_rows`].
pub fn write_picture<W: Write + 'static>(writer: W, picture: &image::RgbImage) -> Result<W, Error> {
    let mut png = PreviewWriter::new(writer, picture.width(), picture.height())?;
    png.write_bytes(picture.as_raw())?;
    png.finish()
}

/// A writer that remembers its first error and then swallows everything: `fdeflate` unwraps some of its writes, and
/// a full disk must end in a message, not in a panic.
struct Sink<W>(Arc<Mutex<SinkState<W>>>);

struct SinkState<W> {
    writer: W,
    failed: Option<io::Error>,
}

impl<W> Clone for Sink<W> {
    fn clone(&self) -> Self {
        Self(Arc::clone(&self.0))
    }
}

impl<W: Write> Sink<W> {
    fn around(writer: W) -> Self {
        Self(Arc::new(Mutex::new(SinkState {
            writer,
            failed: None,
        })))
    }

    fn lock(&self) -> MutexGuard<'_, SinkState<W>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn attempt(&self, action: impl FnOnce(&mut W) -> io::Result<()>) {
        let mut state = self.lock();
        if state.failed.is_none() {
            state.failed = action(&mut state.writer).err();
        }
    }

    fn flush_inner(&self) {
        self.attempt(Write::flush);
    }

    /// Reports a failure for as long as the picture lives: every later call fails as well.
    fn check(&self) -> Result<(), Error> {
        let state = self.lock();
        match &state.failed {
            None => Ok(()),
            Some(error) => {
                let again = error.raw_os_error().map_or_else(
                    || io::Error::new(error.kind(), error.to_string()),
                    io::Error::from_raw_os_error,
                );
                Err(encoder_error(again))
            }
        }
    }
}

impl<W: Write> Write for Sink<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.attempt(|writer| writer.write_all(bytes));
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        // The encoder flushes at its end; an error is kept and reported by `check`.
        self.flush_inner();
        Ok(())
    }
}

fn encoder_error(source: io::Error) -> Error {
    Error::io("picture", "writing a PNG", source)
}
