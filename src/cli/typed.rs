//! What is typed, read like a file: each option is one, called by the option's name, so that what is
//! wrong in it is shown like what is wrong in an album.

use super::Stop;
use crate::album::Value;
use crate::length::{
    Interval, Length, LengthError, Ruler, Unit, parse_interval, parse_size, written_unit,
};
use crate::style;
use crate::text::{self, Files, Finds, Limits, Place, Problem, Said, TextError, within};

pub(super) const BAGS: Limits = Limits::up_to_mm(2_000);
pub(super) const HOLES: Limits = Limits::up_to_mm(1_000);
const THINGS: Limits = Limits::up_to_mm(3_000);
pub(super) const ANY: Limits = Limits::up_to_mm(3_000).or_nothing();

/// What is wrong with an option beside what it measures.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum OptionError {
    #[error("{why}")]
    Path { why: String, help: String },
    #[error("`{written}` is not a name with a value")]
    Set { written: String },
    #[error("`{written}` is not the shape of a photo")]
    Shape { written: String },
    #[error("`{name}` is set twice")]
    SetTwice { name: String },
    #[error("there is no kind of bottom `{written}`")]
    Bottom { written: String },
    #[error("a bag with a pinch bottom has no gusset at its sides")]
    PinchGusset,
    #[error("a bag with a block bottom has a gusset at its sides")]
    BlockFlat,
    #[error("the gusset, in the middle, is deeper than the bag is {than}")]
    DeepGusset {
        than: &'static str,
        /// In an order that can be.
        meant: Option<String>,
    },
    #[error("a bag that is folded up is lower than it was")]
    FoldedHigh,
    #[error("`--pocket-depth` needs `--pocket` beside it")]
    DepthAlone,
}

impl Problem for OptionError {
    fn help(&self) -> Option<String> {
        Some(match self {
            OptionError::Path { help, .. } => help.clone(),
            OptionError::Set { .. } => {
                "type a name, `=` and a value: `--set caption_strip=\"3/4 in\"`. `tuckwright rules --names` lists the names".to_owned()
            }
            OptionError::Shape { .. } => "type two sides, like `--photo-shape 2:3`".to_owned(),
            OptionError::SetTwice { .. } => "leave one of them out".to_owned(),
            OptionError::Bottom { written, .. } => {
                text::meant(written, ["block", "pinch"])
            }
            OptionError::PinchGusset => {
                "type `--bottom block`, or leave the gusset out of `--bag`".to_owned()
            }
            OptionError::BlockFlat => {
                "measure how deep its side is when the bag is open, and type it in the middle: `--bag \"5 x 3 x 8 in\"`".to_owned()
            }
            OptionError::DeepGusset { meant: Some(bag), .. } => {
                format!("did you mean `--bag \"{bag}\"`? Type width x gusset x height")
            }
            OptionError::DeepGusset { .. } => {
                "type width x gusset x height: `--bag \"5 x 3 x 8 in\"`".to_owned()
            }
            OptionError::FoldedHigh => {
                "type how high the leaf is after the fold: less than the bag's own height".to_owned()
            }
            OptionError::DepthAlone => {
                "type the height of the pocket's edge too: `--pocket \"3 in\"`".to_owned()
            }
        })
    }
}

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
        match read {
            Ok(value) => Some(value),
            Err(error) => {
                let place = said.part(error.range());
                self.faults.tell(place, TextError::Length { error });
                None
            }
        }
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
                let (place, written) = (said.place, text.clone());
                self.faults.tell(place, OptionError::Set { written });
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
                let (place, name) = (key.place, key.value);
                self.faults.tell(place, OptionError::SetTwice { name });
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
