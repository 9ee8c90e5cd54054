//! A case: everything that one run of a target gets, as a value and as a file to be kept.

use std::collections::BTreeMap;

use velatura::MemoryFiles;

/// First line of a case's file.
const FORMAT: &str = "velatura-case/1";

/// Files by name, and other values in their order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Case {
    /// The target's name.
    pub(crate) target: String,
    /// Values of a call.
    pub(crate) values: Vec<String>,
    /// Files by name.
    pub(crate) files: BTreeMap<String, Vec<u8>>,
}

impl Case {
    /// An empty case.
    pub(crate) fn of(target: &str) -> Self {
        Self {
            target: target.to_owned(),
            values: Vec::new(),
            files: BTreeMap::new(),
        }
    }

    /// With one more file.
    pub(crate) fn file(mut self, name: &str, bytes: impl Into<Vec<u8>>) -> Self {
        self.files.insert(name.to_owned(), bytes.into());
        self
    }

    /// With one more value.
    pub(crate) fn value(mut self, value: impl Into<String>) -> Self {
        self.values.push(value.into());
        self
    }

    /// A file's bytes; empty if it has none of that name.
    pub(crate) fn bytes(&self, name: &str) -> &[u8] {
        self.files.get(name).map_or(&[], Vec::as_slice)
    }

    /// A value as a number; 0 if it is none.
    pub(crate) fn number(&self, index: usize) -> usize {
        let value = self.values.get(index);
        value.and_then(|value| value.parse().ok()).unwrap_or(0)
    }

    /// Its files, for loading.
    pub(crate) fn memory(&self) -> MemoryFiles {
        self.files
            .iter()
            .map(|(name, bytes)| (name.clone(), bytes.clone()))
            .collect()
    }

    /// Its file.
    pub(crate) fn to_bytes(&self) -> Vec<u8> {
        let mut bytes = format!("{FORMAT}\n{}\n", self.target).into_bytes();
        let values = self.values.iter().map(|value| ("value", value.as_bytes()));
        let files = self.files.iter();
        let files = files.map(|(name, bytes)| (name.as_str(), bytes.as_slice()));
        for (name, part) in values.chain(files) {
            bytes.extend(format!("{} {name}\n", part.len()).into_bytes());
            bytes.extend(part);
            bytes.push(b'\n');
        }
        bytes
    }

    /// From its file.
    #[allow(dead_code, reason = "the soak only writes")]
    pub(crate) fn from_bytes(mut bytes: &[u8]) -> Result<Self, String> {
        if line(&mut bytes)? != FORMAT {
            return Err("this is no case".to_owned());
        }
        let mut case = Self::of(line(&mut bytes)?);
        while !bytes.is_empty() {
            let head = line(&mut bytes)?;
            let (length, name) = head.split_once(' ').ok_or("a part without a name")?;
            let length: usize = length.parse().map_err(|_| "a part without a length")?;
            let part = bytes.get(..length).ok_or("the file ends too early")?;
            bytes = bytes.get(length + 1..).ok_or("the file ends too early")?;
            if name == "value" {
                let value = std::str::from_utf8(part).map_err(|_| "a value that is not text")?;
                case.values.push(value.to_owned());
            } else {
                case.files.insert(name.to_owned(), part.to_vec());
            }
        }
        Ok(case)
    }

    /// Its texts, for a person.
    #[allow(dead_code, reason = "the soak writes files instead")]
    pub(crate) fn shown(&self) -> String {
        let mut text = format!("values: {:?}\n", self.values);
        for (name, bytes) in &self.files {
            text += &match std::str::from_utf8(bytes) {
                Ok(content) if content.len() < 20_000 => format!("== {name}\n{content}\n"),
                _ => format!("== {name}: {} bytes\n", bytes.len()),
            };
        }
        text
    }
}

#[allow(dead_code, reason = "the soak only writes")]
fn line<'a>(bytes: &mut &'a [u8]) -> Result<&'a str, String> {
    let end = bytes.iter().position(|byte| *byte == b'\n');
    let end = end.ok_or("a line without an end")?;
    let found = std::str::from_utf8(&bytes[..end]).map_err(|_| "a line that is not text")?;
    *bytes = &bytes[end + 1..];
    Ok(found)
}
