//! JSON text of results, all of whose numbers are numbers.
//!
//! In: a value. Out: its JSON text, or the place of the first number that is infinite or NaN. JSON has no form for these, and
//! the writer below would leave a `null` in silence, which a reader takes for "nothing to say". Before it writes, the value is
//! therefore walked through by a serialiser that writes nothing and only looks at numbers.

use std::fmt;

use serde::Serialize;
use serde::ser::{
    Error as _, SerializeMap, SerializeSeq, SerializeStruct, SerializeStructVariant,
    SerializeTuple, SerializeTupleStruct, SerializeTupleVariant, Serializer,
};
use velatura_document::{Diagnostic, Error};

/// A result as indented JSON text that ends with a line break.
///
/// # Errors
/// [`Error::Machine`] with the place of a number that is infinite or NaN, or of a key that is no text: faults of the program,
/// not of its input.
pub fn json_text(result: &impl Serialize) -> Result<String, Error> {
    checked(result)?;
    let text = serde_json::to_string_pretty(result).map_err(|error| no_json(&error))?;
    Ok(text + "\n")
}

/// A result as a JSON value.
///
/// # Errors
/// As [`json_text`].
pub fn json_value(result: &impl Serialize) -> Result<serde_json::Value, Error> {
    checked(result)?;
    serde_json::to_value(result).map_err(|error| no_json(&error))
}

fn checked(result: &impl Serialize) -> Result<(), Error> {
    result.serialize(Numbers).map_err(|fault| no_json(&fault))
}

fn no_json(why: &dyn fmt::Display) -> Error {
    Error::machine(
        Diagnostic::error("", format!("the result has no JSON form: {why}"))
            .expected("finite numbers"),
    )
}

/// Where a number is not finite: the keys and positions from the innermost outwards.
#[derive(Debug)]
struct Fault {
    found: String,
    path: Vec<String>,
}

impl Fault {
    fn within(mut self, place: String) -> Self {
        self.path.push(place);
        self
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let path: String = self.path.iter().rev().map(String::as_str).collect();
        match path.trim_start_matches('.') {
            "" => f.write_str(&self.found),
            path => write!(f, "{path} is {}", self.found),
        }
    }
}

impl std::error::Error for Fault {}

impl serde::ser::Error for Fault {
    fn custom<T: fmt::Display>(found: T) -> Self {
        Self {
            found: found.to_string(),
            path: Vec::new(),
        }
    }
}

/// Looks at every number of a value.
struct Numbers;

/// The same for what has parts; counts them.
struct Parts {
    done: usize,
    key: String,
}

impl Parts {
    const NONE: Self = Self {
        done: 0,
        key: String::new(),
    };

    fn part(&mut self, part: &(impl Serialize + ?Sized)) -> Result<(), Fault> {
        let place = self.done;
        self.done += 1;
        let seen = part.serialize(Numbers);
        seen.map_err(|fault| fault.within(format!("[{place}]")))
    }
}

fn field(name: &str, part: &(impl Serialize + ?Sized)) -> Result<(), Fault> {
    let seen = part.serialize(Numbers);
    seen.map_err(|fault| fault.within(format!(".{name}")))
}

fn finite(number: f64) -> Result<(), Fault> {
    if number.is_finite() {
        return Ok(());
    }
    Err(Fault::custom(format_args!(
        "{number}, which is no finite number"
    )))
}

macro_rules! fine {
    ($($name:ident: $kind:ty,)*) => {
        $(fn $name(self, _: $kind) -> Result<(), Fault> { Ok(()) })*
    };
}

impl Serializer for Numbers {
    type Ok = ();
    type Error = Fault;
    type SerializeSeq = Parts;
    type SerializeTuple = Parts;
    type SerializeTupleStruct = Parts;
    type SerializeTupleVariant = Parts;
    type SerializeMap = Parts;
    type SerializeStruct = Parts;
    type SerializeStructVariant = Parts;

    fine! {
        serialize_bool: bool, serialize_i8: i8, serialize_i16: i16, serialize_i32: i32, serialize_i64: i64,
        serialize_i128: i128, serialize_u8: u8, serialize_u16: u16, serialize_u32: u32, serialize_u64: u64,
        serialize_u128: u128, serialize_char: char, serialize_str: &str, serialize_bytes: &[u8],
        serialize_unit_struct: &'static str,
    }

    fn serialize_f32(self, number: f32) -> Result<(), Fault> {
        finite(f64::from(number))
    }

    fn serialize_f64(self, number: f64) -> Result<(), Fault> {
        finite(number)
    }

    fn serialize_none(self) -> Result<(), Fault> {
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), Fault> {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), Fault> {
        Ok(())
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, _: &'static str) -> Result<(), Fault> {
        Ok(())
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Result<(), Fault> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<(), Fault> {
        field(variant, value)
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Parts, Fault> {
        Ok(Parts::NONE)
    }

    fn serialize_tuple(self, _: usize) -> Result<Parts, Fault> {
        Ok(Parts::NONE)
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Parts, Fault> {
        Ok(Parts::NONE)
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Parts, Fault> {
        Ok(Parts::NONE)
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Parts, Fault> {
        Ok(Parts::NONE)
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Parts, Fault> {
        Ok(Parts::NONE)
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Parts, Fault> {
        Ok(Parts::NONE)
    }
}

macro_rules! by_position {
    ($($kind:ident: $each:ident,)*) => {
        $(impl $kind for Parts {
            type Ok = ();
            type Error = Fault;

            fn $each<T: Serialize + ?Sized>(&mut self, part: &T) -> Result<(), Fault> {
                self.part(part)
            }

            fn end(self) -> Result<(), Fault> {
                Ok(())
            }
        })*
    };
}

by_position! {
    SerializeSeq: serialize_element, SerializeTuple: serialize_element,
    SerializeTupleStruct: serialize_field, SerializeTupleVariant: serialize_field,
}

macro_rules! by_name {
    ($($kind:ident,)*) => {
        $(impl $kind for Parts {
            type Ok = ();
            type Error = Fault;

            fn serialize_field<T: Serialize + ?Sized>(
                &mut self,
                name: &'static str,
                part: &T,
            ) -> Result<(), Fault> {
                field(name, part)
            }

            fn end(self) -> Result<(), Fault> {
                Ok(())
            }
        })*
    };
}

by_name! { SerializeStruct, SerializeStructVariant, }

impl SerializeMap for Parts {
    type Ok = ();
    type Error = Fault;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Fault> {
        key.serialize(Numbers)?;
        // Only for the message.
        let text = serde_json::to_string(key).unwrap_or_default();
        text.trim_matches('"').clone_into(&mut self.key);
        Ok(())
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, part: &T) -> Result<(), Fault> {
        field(&self.key, part)
    }

    fn end(self) -> Result<(), Fault> {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    #[derive(Serialize)]
    struct Part {
        name: &'static str,
        lab: [f64; 3],
        less: Option<f32>,
        #[serde(flatten)]
        more: More,
    }

    #[derive(Serialize)]
    struct More {
        by_stage: BTreeMap<String, f64>,
        kind: Kind,
    }

    #[derive(Serialize)]
    enum Kind {
        None,
        Film { thickness: f64 },
        Both(f64, f64),
        One(f64),
    }

    fn part() -> Part {
        Part {
            name: "coat",
            lab: [1.0, 2.0, 3.0],
            less: None,
            more: More {
                by_stage: BTreeMap::from([("ground".to_owned(), 1.5)]),
                kind: Kind::None,
            },
        }
    }

    fn refused(change: impl FnOnce(&mut Part)) -> String {
        let mut part = part();
        change(&mut part);
        match json_text(&vec![part]) {
            Ok(text) => panic!("{text}"),
            Err(error) => error.to_string(),
        }
    }

    #[test]
    fn an_infinite_number_or_nan_is_refused_with_its_place() {
        let finite = json_text(&vec![part()]).unwrap();
        assert!(finite.contains("\"less\": null"), "{finite}");
        for (message, place) in [
            (refused(|part| part.lab[1] = f64::NAN), "[0].lab[1] is NaN"),
            (
                refused(|part| part.less = Some(f32::INFINITY)),
                "[0].less is inf",
            ),
            (
                refused(|part| {
                    part.more
                        .by_stage
                        .insert("sheet".to_owned(), f64::NEG_INFINITY);
                }),
                "[0].by_stage.sheet is -inf",
            ),
            (
                refused(|part| {
                    part.more.kind = Kind::Film {
                        thickness: f64::NAN,
                    }
                }),
                "thickness is NaN",
            ),
            (
                refused(|part| part.more.kind = Kind::Both(0.0, f64::NAN)),
                "[1] is NaN",
            ),
            (
                refused(|part| part.more.kind = Kind::One(f64::NAN)),
                "is NaN",
            ),
        ] {
            assert!(message.contains(place), "{message}");
            assert!(message.contains("expected: finite numbers"), "{message}");
        }
    }

    #[test]
    fn the_usual_writer_would_have_left_a_null() {
        let text = serde_json::to_string(&f64::NAN).unwrap();
        assert_eq!(text, "null");
        assert!(json_value(&f64::NAN).is_err());
        assert_eq!(json_value(&0.5).unwrap(), serde_json::json!(0.5));
    }
}
