//! Albums that are made together: how many copies of each, each worked out, their supplies as one.

use super::typed::Typed;
use super::{DONE, Input, Sink, Source, Stop, Target, from, input, mistyped, output, usage, work};
use crate::album::Album;
use crate::cut::pieces::Made;
use crate::explain::smallest_ring;
use crate::length::{Length, Ruler};
use crate::plan::Listed;
use crate::plan::work::{Outcome, Worked};
use crate::report::{self, fit::Detail};
use crate::solve::Limits;
use crate::supplies::{Supplies, join::join};
use crate::text::Files;
use clap::Args;
use std::path::{Path, PathBuf};

/// The most copies of one album.
const MOST: u64 = 1_000;

#[derive(Clone, Debug, Default, Args)]
pub(super) struct Copies {
    /// More albums, made from the same supplies; any album may say its number of copies: autumn.toml:4
    #[arg(value_name = "ALBUM[:COPIES]")]
    more: Vec<PathBuf>,
    /// How many albums you make, of each that says no number of its own [default: 1]
    #[arg(long, value_name = "N", value_parser = mistyped::whole::<u64>(1..=MOST))]
    copies: Option<u64>,
    /// How many more of each, in case something goes wrong [default: 0]
    #[arg(long, value_name = "N", value_parser = mistyped::whole::<u64>(0..=MOST))]
    spare: Option<u64>,
}

impl Copies {
    /// Several albums are asked for, or several of one.
    pub fn several(&self) -> bool {
        !self.more.is_empty() || self.typed().is_some()
    }

    /// An option that goes with albums only, if one was typed.
    pub fn typed(&self) -> Option<&'static str> {
        [("--copies", self.copies), ("--spare", self.spare)]
            .into_iter()
            .find_map(|(name, said)| said.map(|_| name))
    }
}

/// One of them.
pub(super) struct Each {
    pub input: Input,
    source: Source,
    /// Copies, without spare ones.
    pub copies: u64,
    pub spare: u64,
}

/// All of them, read.
pub(super) struct Together {
    pub files: Files,
    pub albums: Vec<Each>,
}

impl Together {
    /// How many copies of an album that is made alone.
    pub fn copies(&self) -> Option<u64> {
        match &self.albums[..] {
            [one] if one.spare == 0 => Some(one.copies),
            _ => None,
        }
    }
}

/// Reads all albums beside options that were read before.
pub(super) fn read(
    mut typed: Typed,
    verb: &str,
    source: &Source,
    copies: &Copies,
) -> Result<Together, Stop> {
    let mut albums = Vec::new();
    let paths = source.album.iter().chain(&copies.more);
    let mut asked = Vec::new();
    for path in paths {
        let (path, own) = numbered(verb, path)?;
        asked.push((Some(path), own));
    }
    if asked.is_empty() {
        asked.push((None, None));
    }
    let mut files = Files::default();
    for (album, own) in asked {
        let source = Source {
            album,
            ..source.clone()
        };
        let input = input::read_beside(typed, verb, &source)?;
        files = input.files.clone();
        typed = Typed::over(&mut files.clone());
        albums.push(Each {
            input,
            source,
            copies: own.or(copies.copies).unwrap_or(1),
            spare: copies.spare.unwrap_or(0),
        });
    }
    Ok(Together { files, albums })
}

/// `autumn.toml:4` as a path and a number; a file that is called so is that file.
fn numbered(verb: &str, path: &Path) -> Result<(PathBuf, Option<u64>), Stop> {
    let split = path.to_str().and_then(|text| text.rsplit_once(':'));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let Some((name, written)) = split.filter(|(_, n)| digits(n) && !path.exists()) else {
        return Ok((path.to_owned(), None));
    };
    match written.parse() {
        Ok(number) if (1..=MOST).contains(&number) => Ok((PathBuf::from(name), Some(number))),
        _ => {
            let message = format!(
                "`{written}` is no number of copies. Type a whole number from 1 to {MOST} behind the colon"
            );
            Err(usage(verb, &message))
        }
    }
}

impl Each {
    /// The folder of its file.
    pub fn folder(&self) -> PathBuf {
        self.source.folder()
    }

    pub fn from(&self) -> (&Input, &Source) {
        (&self.input, &self.source)
    }

    pub fn sets(&self) -> u64 {
        self.copies.saturating_add(self.spare)
    }

    /// `Low Water`, `Low Water: 13 copies, one of them spare`.
    fn title(&self) -> String {
        let title = report::cut::heading(&self.input.album.title);
        match (self.sets(), self.spare) {
            (1, _) => title,
            (sets, 0) => format!("{title}: {sets} copies"),
            (sets, spare) => format!("{title}: {sets} copies, {spare} of them spare"),
        }
    }
}

impl Together {
    pub fn ruler(&self) -> Result<Ruler, Stop> {
        let first = self.albums.first().map(|each| each.input.album.ruler);
        first.ok_or_else(|| Stop::Told("an album is missing".to_owned()))
    }

    pub fn title(&self) -> String {
        let titles: Vec<String> = self.albums.iter().map(Each::title).collect();
        titles.join("; ")
    }

    /// All of them worked out. An album without sizes has nothing to cut or to buy: the answer is then that
    /// of `fit`, as JSON or not, and goes where it was asked for.
    pub fn work(&self, limits: &Limits, to: (bool, &Target)) -> Result<Vec<Worked>, Stop> {
        let mut all = Vec::new();
        for each in &self.albums {
            let worked = work(&each.input, Listed::NotKept, limits)?;
            match worked.outcome {
                Outcome::Fits(_) => all.push(worked),
                _ => {
                    if let (Some(path), [_, _, ..]) = (&each.source.album, &self.albums[..]) {
                        let path = path.display();
                        output::to_stderr(&format!("{path}: this is the album without sizes\n"));
                    }
                    return Err(without_sizes(each, &worked, limits, to)?);
                }
            }
        }
        Ok(all)
    }

    /// The albums with the supplies of all of them, and a paper for each design of a pad.
    pub fn joined(&self) -> Result<Vec<Album>, Stop> {
        let all: Vec<&Supplies> = self
            .albums
            .iter()
            .map(|e| &e.input.album.supplies)
            .collect();
        let (supplies, moved) = join(&self.files, &all)
            .map_err(|faults| Stop::Faults(Box::new(self.files.clone()), faults))?;
        let supplies = supplies.by_design();
        let albums = self.albums.iter().zip(&moved);
        let albums = albums.map(|(each, moved)| each.input.album.with_supplies(&supplies, moved));
        Ok(albums.collect())
    }

    /// Inside diameter of the smallest ring that takes each album for which none is named.
    pub fn ring(&self, albums: &[Album], worked: &[Worked], limits: &Limits) -> Option<Length> {
        let all = self.albums.iter().zip(albums).zip(worked);
        let rings = all.filter_map(|((each, album), worked)| match &worked.outcome {
            Outcome::Fits(plan) if plan.takes_rings && plan.ring.is_none() => {
                smallest_ring(&each.input.style, album, limits)
            }
            _ => None,
        });
        rings.max()
    }

    /// What is made, of albums that were joined and worked out.
    pub fn made<'a>(&self, albums: &'a [Album], worked: &'a [Worked]) -> Vec<Made<'a>> {
        let all = self.albums.iter().zip(albums).zip(worked);
        let made = all.filter_map(|((each, album), worked)| match &worked.outcome {
            Outcome::Fits(plan) => Some(Made {
                plan,
                album,
                sets: each.sets(),
            }),
            _ => None,
        });
        made.collect()
    }
}

fn without_sizes(
    each: &Each,
    worked: &Worked,
    limits: &Limits,
    (json, target): (bool, &Target),
) -> Result<Stop, Stop> {
    let (input, source) = each.from();
    let explanation = super::explained((input, source), worked, limits);
    let (answer, code) = super::answer(&worked.outcome, explanation.as_ref())?;
    debug_assert_ne!(code, DONE);
    let from = from(input, source);
    let text = match json {
        true => report::json::fit(from, answer, code),
        false => report::fit::text(from, answer, Detail::First),
    };
    Sink::new(target).write(&text)?;
    Ok(Stop::Answered(code))
}
