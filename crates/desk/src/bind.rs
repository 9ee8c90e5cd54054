//! The desk for JavaScript. Everything goes in and out as JSON or bytes; an error is thrown as the JSON of its problems.

use serde_json::json;
use velatura_document::Error;
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::put::PutKind;
use crate::take::{TakeKind, Taken};
use crate::{Command, Pixels, View};

/// One project on the desk.
#[wasm_bindgen(js_name = Desk)]
#[derive(Debug)]
pub struct PageDesk(crate::Desk);

/// A picture for a canvas.
#[wasm_bindgen(js_name = Pixels)]
#[derive(Debug)]
pub struct PagePixels(Pixels);

/// A file for the painter.
#[wasm_bindgen(js_name = Taken)]
#[derive(Debug)]
pub struct PageTaken(Taken);

fn thrown(error: Error) -> JsValue {
    let problems = error.diagnostics();
    JsValue::from_str(&json!(problems).to_string())
}

fn view(view: Result<View, Error>) -> Result<String, JsValue> {
    view.map(|view| json!(view).to_string()).map_err(thrown)
}

#[wasm_bindgen(js_class = Desk)]
impl PageDesk {
    /// An empty desk.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Result<Self, JsValue> {
        crate::Desk::new().map(Self).map_err(thrown)
    }

    /// Does a command, given as JSON; returns the view.
    pub fn run(&mut self, command: &str) -> Result<String, JsValue> {
        let command: Command = serde_json::from_str(command).map_err(|error| {
            let found = format!("the command is not one of this engine: {error}");
            thrown(Error::refused("", found, "", "load the page again"))
        })?;
        view(self.0.run(&command))
    }

    /// Takes a file; returns the view.
    pub fn put(&mut self, kind: &str, name: &str, bytes: Vec<u8>) -> Result<String, JsValue> {
        let kind = PutKind::of(kind).map_err(thrown)?;
        view(self.0.put(kind, name, bytes))
    }

    /// The working photo.
    pub fn photo(&mut self) -> Result<PagePixels, JsValue> {
        self.0.photo().map(PagePixels).map_err(thrown)
    }

    /// The regions, translucent; the quick ones follow a pen.
    pub fn overlay(&mut self, fine: bool) -> Result<Option<PagePixels>, JsValue> {
        let overlay = self.0.overlay(fine).map_err(thrown)?;
        Ok(overlay.map(PagePixels))
    }

    /// One scheme on the figure.
    pub fn tile(&mut self, scheme: usize) -> Result<PagePixels, JsValue> {
        self.0.tile(scheme).map(PagePixels).map_err(thrown)
    }

    /// The part at a place of a tile.
    pub fn part_at(&mut self, x: u32, y: u32) -> Result<Option<String>, JsValue> {
        self.0.part_at(x, y).map_err(thrown)
    }

    /// The colour around a place of the photo.
    pub fn colour_at(&mut self, x: f64, y: f64) -> Result<String, JsValue> {
        let colour = self.0.colour_at(x, y).map_err(thrown)?;
        Ok(colour.to_string())
    }

    /// Something to take away, of one scheme or of two.
    pub fn take(
        &mut self,
        kind: &str,
        scheme: Option<usize>,
        rival: Option<usize>,
    ) -> Result<PageTaken, JsValue> {
        let kind = TakeKind::of(kind).map_err(thrown)?;
        let taken = self
            .0
            .take(kind, scheme.unwrap_or_default(), rival.unwrap_or_default());
        taken.map(PageTaken).map_err(thrown)
    }
}

#[wasm_bindgen(js_class = Pixels)]
impl PagePixels {
    /// Pixels per row.
    #[wasm_bindgen(getter)]
    #[must_use]
    pub fn width(&self) -> u32 {
        self.0.width
    }

    /// Rows.
    #[wasm_bindgen(getter)]
    #[must_use]
    pub fn height(&self) -> u32 {
        self.0.height
    }

    /// Red, green, blue and alpha of every pixel. Takes them out of the engine's memory, so it gives them only once.
    pub fn rgba(&mut self) -> Vec<u8> {
        std::mem::take(&mut self.0.rgba)
    }
}

#[wasm_bindgen(js_class = Taken)]
impl PageTaken {
    /// Its name.
    #[wasm_bindgen(getter)]
    #[must_use]
    pub fn name(&self) -> String {
        self.0.name.clone()
    }

    /// Its media type.
    #[wasm_bindgen(getter, js_name = type)]
    #[must_use]
    pub fn media_type(&self) -> String {
        self.0.media_type.to_owned()
    }

    /// Its content. Takes it out of the engine's memory, so it gives it only once.
    pub fn bytes(&mut self) -> Vec<u8> {
        std::mem::take(&mut self.0.bytes)
    }
}
