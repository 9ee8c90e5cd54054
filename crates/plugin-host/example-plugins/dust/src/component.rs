//! Dust as a component: `wit/stage.wit` on one side, the plain function on the other.

use exports::velatura::stage::describe::{Description, Guest as Describe};
use exports::velatura::stage::finish::{Band, Guest as Finish, Scheme};

use crate::{Dust, GIVES, NAME, PARAMETERS, REACH_PX, Rows, TAKES, VERSION};

wit_bindgen::generate!({ world: "finish-stage", path: "../../wit" });

struct Stage;

impl Describe for Stage {
    fn describe() -> Description {
        Description {
            name: NAME.into(),
            version: VERSION.into(),
            takes: TAKES.into(),
            gives: GIVES.into(),
            parameters: PARAMETERS.into(),
            reach_px: Some(REACH_PX),
        }
    }
}

impl Finish for Stage {
    fn apply(_: Scheme, mut band: Band, parameters: String) -> Result<Vec<f32>, String> {
        let rows = Rows {
            width: band.width as usize,
            first_row: band.first_row as usize,
            picture_rows: band.picture_rows as usize,
            px_per_mm: band.px_per_mm,
            light_unit: band.light_unit,
            relief: &band.relief,
            light: &band.light,
        };
        // The same list is returned: a second one would need memory that has to be allocated and cleared.
        Dust::read(&parameters)?.settle(&rows, &mut band.pixels);
        Ok(band.pixels)
    }
}

export!(Stage);
