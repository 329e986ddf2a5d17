//! What is typed, read like a file: each option is one, called by the option's name, so that what is
//! wrong in it is shown like what is wrong in an album.

use super::Stop;
use crate::album::Value;
use crate::length::{
    Interval, Length, LengthError, Ruler, Unit, parse_interval, parse_size, written_unit,
};
use crate::style;
use crate::text::{self, Files, Finds, Limits, Place, Said, Wrong, within};

pub(super) const BAGS: Limits = Limits::up_to_mm(2_000);
pub(super) const HOLES: Limits = Limits::up_to_mm(1_000);
const THINGS: Limits = Limits::up_to_mm(3_000);
pub(super) const ANY: Limits = Limits::up_to_mm(3_000).or_nothing();

/// Options, each as a file of its own.
#[derive(Default)]
pub(super) struct Typed {
    pub files: Files,
    pub faults: Finds,
}

impl Typed {
    /// With the files that were read before.
    pub fn over(files: &mut Files) -> Typed {
        Typed {
            files: std::mem::take(files),
            faults: Finds::default(),
        }
    }

    /// The files, where nothing is wrong.
    pub fn done(self) -> Result<Files, Stop> {
        match self.faults.is_empty() {
            true => Ok(self.files),
            false => Err(self.stop()),
        }
    }

    /// Width and height of a thing.
    pub fn size(&mut self, option: &str, text: &str) -> Option<(Interval, Interval)> {
        let said = self.said(option, text);
        self.size_of(option, &said)
    }

    /// Width and height in a part of an option.
    pub fn size_of(&mut self, option: &str, said: &Said<String>) -> Option<(Interval, Interval)> {
        let (width, height) = self.read(said, parse_size(&said.value))?;
        let sane = [width, height]
            .iter()
            .all(|side| self.sane(option, said, *side, THINGS));
        sane.then_some((width, height))
    }

    /// A line of a file of which no more is kept.
    pub fn file(&mut self, name: &str, text: &str, line: usize) -> u32 {
        self.files.add_from_line(name, text, line)
    }

    /// The number of a file that holds text; nothing, and told, where it does not.
    pub fn decoded(&mut self, name: String, bytes: Vec<u8>) -> Option<u32> {
        match text::decode(&mut self.files, name, bytes) {
            Ok(file) => Some(file),
            Err(fault) => {
                self.faults.add(fault);
                None
            }
        }
    }

    /// The line of a place.
    pub fn line(&self, place: Place) -> usize {
        self.files.line(place)
    }

    pub fn said(&mut self, option: &str, text: &str) -> Said<String> {
        let file = self.files.add_typed(option, text);
        Said {
            value: text.to_owned(),
            place: Place::new(file, 0, text.len()),
        }
    }

    pub fn read<T>(&mut self, said: &Said<String>, read: Result<T, LengthError>) -> Option<T> {
        said.read(read, &self.faults)
    }

    pub fn sane(
        &mut self,
        option: &str,
        said: &Said<String>,
        length: Interval,
        limits: Limits,
    ) -> bool {
        within(option, said, length, limits, &self.faults)
    }

    pub fn length(
        &mut self,
        option: &str,
        text: &Option<String>,
        limits: Limits,
    ) -> Option<Said<Interval>> {
        let said = self.said(option, text.as_ref()?);
        let length = self.read(&said, parse_interval(&said.value))?;
        self.sane(option, &said, length, limits)
            .then(|| said.with(length))
    }

    pub(super) fn settings(&mut self, texts: &[String]) -> Vec<(Said<String>, Said<Value>)> {
        let mut all: Vec<(Said<String>, Said<Value>)> = Vec::new();
        for text in texts {
            let said = self.said("--set", text);
            let Some((name, value)) = text
                .split_once('=')
                .filter(|(name, _)| !name.trim().is_empty())
            else {
                let what = format!("`{text}` is not a name with a value");
                let help = "type a name, `=` and a value: `--set caption_strip=\"3/4 in\"`. `tuckwright rules --names` lists the names";
                self.faults.tell(said.place, Wrong::new(what, help));
                continue;
            };
            let part = |range: std::ops::Range<usize>| Said {
                value: text[range.clone()].to_owned(),
                place: said.part(range),
            };
            let starts = name.len() - name.trim_start().len();
            let key = part(starts..starts + name.trim().len());
            let written = part(text.len() - value.len()..text.len());
            let Some(value) = self.read(&written, style::value(&written.value)) else {
                continue;
            };
            if let Value::Length(length) = value
                && !self.sane(&key.value, &written, length, ANY)
            {
                continue;
            }
            if all.iter().any(|(before, _)| before.value == key.value) {
                let what = format!("`{}` is set twice", key.value);
                self.faults
                    .tell(key.place, Wrong::new(what, "leave one of them out"));
                continue;
            }
            all.push((key, written.with(value)));
        }
        all
    }

    pub fn stop(self) -> Stop {
        Stop::Faults(Box::new(self.files), self.faults.all())
    }
}

/// The ruler of a maker who writes measures in this unit.
pub(super) fn usual_ruler(written: &str) -> Option<Ruler> {
    match written_unit(written)? {
        Unit::Inch => Ruler::new(Length::from_nm(Length::INCH.nm() / 8), Unit::Inch),
        unit => Ruler::new(Length::MM, unit),
    }
}
