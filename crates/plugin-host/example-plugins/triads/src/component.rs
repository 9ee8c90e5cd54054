//! Triads as a component: `wit/stage.wit` on one side, the plain function on the other.

use exports::velatura::stage::describe::{Description, Guest as Describe};
use exports::velatura::stage::scheme_source::{Guest as SchemeSource, Request};

use crate::{GIVES, NAME, PARAMETERS, Paint, TAKES, VERSION, triads};

wit_bindgen::generate!({ world: "scheme-source-stage", path: "../../wit" });

struct Stage;

impl Describe for Stage {
    fn describe() -> Description {
        Description {
            name: NAME.into(),
            version: VERSION.into(),
            takes: TAKES.into(),
            gives: GIVES.into(),
            parameters: PARAMETERS.into(),
            reach_px: None,
        }
    }
}

impl SchemeSource for Stage {
    fn schemes(request: Request, parameters: String) -> Result<String, String> {
        let regions: Vec<&str> = request.regions.iter().map(String::as_str).collect();
        let paints: Vec<Paint<'_>> = request
            .paints
            .iter()
            .map(|paint| {
                let (red, green, blue) = paint.over_white;
                Paint {
                    name: &paint.name,
                    owned: paint.owned,
                    over_white: [red, green, blue],
                }
            })
            .collect();
        triads(&regions, &paints, &parameters)
    }
}

export!(Stage);
