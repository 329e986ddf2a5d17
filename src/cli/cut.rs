//! `cut`: the fewest sheets for an album or for any list of pieces, and the cuts in the trimmer's
//! order; or the best use of one sheet.

use super::buy;
use super::folder::{self, Named};
use super::together::{self, Copies, Together};
use super::typed::Typed;
use super::wait::patiently;
use super::{CLASH, DONE, Sink, Source, Stop, Target, Time, UNDECIDED, output, usage};
use crate::album::Album;
use crate::arrange::pads;
use crate::cut::work::{Batch, Patience, WorkError};
use crate::cut::{Answer, Order, Paper, Sheets, Stages, Trimmer, Want, fill, list, offcuts};
use crate::length::{Length, Ruler};
use crate::report::arrange::pads as designs;
use crate::report::buy::{Shopping, not_enough};
use crate::report::{self, cut as words};
use crate::shop::needs::Needs;
use crate::solve::Limits;
use crate::text::{Files, seen};
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
pub(super) struct Cut {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    copies: Copies,
    /// The sheets that cost least beyond those at home, not the fewest; see `tuckwright help buy`
    #[arg(long, conflicts_with_all = ["pieces", "fill", "csv"])]
    cheapest: bool,
    /// Instead of an album: a list of pieces, a file whose lines say name,width,height,count,turn
    #[arg(long, value_name = "FILE", conflicts_with_all = ["album", "bag"])]
    pieces: Option<PathBuf>,
    /// The best use of one sheet by any number of the pieces in a list: most area, or a column `value`
    #[arg(long, value_name = "FILE", conflicts_with_all = ["album", "bag", "pieces"])]
    fill: Option<PathBuf>,
    /// A sheet, width x height, and how many there are: "12 x 12 in" or "12 x 12 in: 3"; may be repeated
    #[arg(long, value_name = "SIZE[: COUNT]", allow_hyphen_values = true)]
    sheet: Vec<String>,
    /// How often the direction of the cuts may change [default: three where that takes no sheet more than free]
    #[arg(long, value_enum)]
    stages: Option<Kind>,
    /// A ragged edge that is cut off every side of a whole sheet first
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    trim: Option<String>,
    /// What the blade takes away with every cut
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    gap: Option<String>,
    /// The narrowest strip that the trimmer holds
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    narrowest: Option<String>,
    #[command(flatten)]
    time: Time,
    /// For other programs; `tuckwright help json` tells its shape
    #[arg(long)]
    json: bool,
    /// The steps as a table for a spreadsheet
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// A drawing of each sheet in this folder too
    #[arg(long, value_name = "DIR")]
    svg: Option<PathBuf>,
    /// What is left over, as a file of supplies for the next album
    #[arg(long, value_name = "FILE", conflicts_with = "fill")]
    offcuts: Option<PathBuf>,
    #[command(flatten)]
    target: Target,
}

/// How often the direction of the cuts may change.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Kind {
    /// Any straight cuts
    Free,
    /// Strips, blocks off each strip, pieces off each block
    Three,
    /// Strips, pieces off each strip
    Two,
}

impl Cut {
    fn stages(&self) -> Option<Stages> {
        Some(match self.stages? {
            Kind::Free => Stages::Free,
            Kind::Three => Stages::Three,
            Kind::Two => Stages::Two,
        })
    }
}

pub(super) fn cut(verb: &Cut) -> Result<u8, Stop> {
    let limits = &verb.time.begin();
    match verb.pieces.as_ref().or(verb.fill.as_ref()) {
        Some(path) => of_list(verb, path, limits),
        None => of_album(verb, limits),
    }
}

/// Drawings of an older cutting plan.
const OLD: folder::Old = folder::Old {
    name: crate::draw::sheets::is_name,
    head: crate::draw::svg::is_ours,
};

/// What stands in the way of writing, told before the work is done: all that is read was read.
fn ready(verb: &Cut) -> Result<(), Stop> {
    let targets = || verb.offcuts.iter().chain(&verb.target.output);
    output::apart(targets().map(PathBuf::as_path))?;
    targets().try_for_each(|path| output::free(path, verb.target.force).map(|_| ()))
}

/// What the options say of the sheets and of the trimmer.
fn options(typed: &mut Typed, verb: &Cut) -> (Vec<Sheets>, Option<Trimmer>) {
    let sheets = verb.sheet.iter().filter_map(|text| typed.sheets(text));
    let sheets = sheets.collect();
    let mut length = |option, text: &Option<String>| match text {
        None => Some(Length::ZERO),
        Some(text) => typed.exact(option, text),
    };
    let trim = length("--trim", &verb.trim);
    let gap = length("--gap", &verb.gap);
    let narrowest = length("--narrowest", &verb.narrowest);
    let trimmer = trim
        .zip(gap)
        .zip(narrowest)
        .map(|((trim, gap), narrowest)| Trimmer {
            trim,
            gap,
            narrowest,
        });
    (sheets, trimmer)
}

fn of_album(verb: &Cut, limits: &Limits) -> Result<u8, Stop> {
    let mut typed = Typed::default();
    let (sheets, trimmer) = options(&mut typed, verb);
    let together = together::read(typed, "cut", &verb.source, &verb.copies)?;
    let ruler = together.ruler()?;
    let Some(trimmer) = trimmer else {
        return Err(Stop::Told("the options could not be read".to_owned()));
    };
    let albums = together.joined()?;
    ready(verb)?;
    let worked = together.work(limits, (verb.json, &verb.target))?;
    let made = together.made(&albums, &worked);
    let pads = pads::pads(&made, &|| limits.is_over());
    let order = pads::order(&made, sheets, trimmer, &pads);
    let designs = designs::notes(&made, &pads);
    let title = together.title();
    let asked = Asked {
        verb,
        limits,
        title: &title,
        ruler,
        files: &together.files,
        designs: &designs,
    };
    if order.wants.is_empty() && order.any_paper.is_empty() {
        return Err(Stop::Told("this album has no piece that is cut".to_owned()));
    }
    match verb.cheapest {
        true => asked.cheapest(&together, &albums, order),
        false => asked.tell(&order),
    }
}

/// A list of pieces with the sheets that are named for it.
fn listed(verb: &Cut, path: &Path) -> Result<(Order, Ruler, Files), Stop> {
    let mut typed = Typed::default();
    let source = &verb.source;
    let of_the_bag = source.of_the_bag();
    let stray = of_the_bag
        .iter()
        .find(|(name, said)| said.is_some() && *name != "--ruler");
    if let Some(name) = stray.map(|(name, _)| *name).or(verb.copies.typed()) {
        let message = format!("`{name}` goes with an album or `--bag`. Leave it out");
        return Err(usage("cut", &message));
    }
    let Some(first) = verb.sheet.first() else {
        let message = "the sheet is missing. Type what they are cut from: `--sheet \"12 x 12 in\"`";
        return Err(usage("cut", message));
    };
    let (sheets, trimmer) = options(&mut typed, verb);
    let ruler = typed.ruler(&source.ruler, first);
    let wants: Option<Vec<Want>> = typed.list(path)?.and_then(|file| {
        let read = list::read(&typed.files, file, 0);
        read.map_err(|faults| typed.faults.extend(faults)).ok()
    });
    let (Some(ruler), Some(wants), Some(trimmer), true) =
        (ruler, wants, trimmer, typed.faults.is_empty())
    else {
        return Err(typed.stop());
    };
    let order = Order {
        papers: vec![Paper {
            name: String::new(),
            directed: false,
            sheets,
        }],
        wants,
        any_paper: Vec::new(),
        from_left: Vec::new(),
        trimmer,
    };
    ready(verb)?;
    Ok((order, ruler, typed.done()?))
}

fn of_list(verb: &Cut, path: &Path, limits: &Limits) -> Result<u8, Stop> {
    let (order, ruler, files) = listed(verb, path)?;
    let name = path.file_name();
    let asked = Asked {
        verb,
        limits,
        title: &name.map_or_else(String::new, |name| seen(&name.to_string_lossy())),
        ruler,
        files: &files,
        designs: &[],
    };
    match (&verb.fill, verb.sheet.len()) {
        (None, _) => asked.tell(&order),
        (Some(_), 1) => asked.best_use(&order),
        (Some(_), _) => {
            let message = "`--fill` is about one sheet. Type `--sheet` once";
            Err(usage("cut", message))
        }
    }
}

/// What was asked for, and how the answer is written.
struct Asked<'a> {
    verb: &'a Cut,
    limits: &'a Limits,
    title: &'a str,
    ruler: Ruler,
    files: &'a Files,
    /// What there is to know of the designs of pads.
    designs: &'a [String],
}

impl Asked<'_> {
    /// Works, with an eye on whoever waits.
    fn patiently<T>(
        &self,
        work: impl FnOnce(&Patience<'_>) -> Result<T, WorkError>,
    ) -> Result<T, Stop> {
        patiently(self.limits, self.verb.time.seconds, self.files, work)
    }

    /// As many pieces on one sheet as it is worth most with.
    fn best_use(&self, order: &Order) -> Result<u8, Stop> {
        let (verb, ruler, title) = (self.verb, self.ruler, self.title);
        let work = |patience: &Patience<'_>| fill::fill(order, verb.stages(), ruler, patience);
        let (each, chosen) = self.patiently(work)?;
        let plans = || std::iter::once(&each[chosen].plan);
        self.draw(order, &mut plans())?;
        let found = (&each, chosen);
        let text = match (verb.json, verb.csv) {
            (true, _) => report::json::cut::fill(title, ruler, order, found),
            (_, true) => words::csv::text(ruler, order, plans()),
            _ => words::fill::text(title, ruler, order, found),
        };
        Sink::new(&verb.target).write(&text)?;
        Ok(DONE)
    }

    fn tell(&self, order: &Order) -> Result<u8, Stop> {
        let (stages, ruler) = (self.verb.stages(), self.ruler);
        let work = |patience: &Patience<'_>| crate::cut::work::work(order, stages, ruler, patience);
        let batches = self.patiently(work)?;
        self.tell_all(order, batches, None)
    }

    /// The sheets that cost least, and how they are cut.
    fn cheapest(&self, together: &Together, albums: &[Album], order: Order) -> Result<u8, Stop> {
        let supplies = match albums.first() {
            Some(album) => &album.supplies,
            None => return Err(Stop::Told("an album is missing".to_owned())),
        };
        let needs = Needs {
            things: Vec::new(),
            order,
            any_ring: 0,
            any_print: 0,
        };
        let how = (self.verb.stages(), self.ruler);
        let found = buy::bought(
            &together.files,
            (supplies, needs),
            how,
            (self.limits, self.verb.time.seconds),
        );
        let purchase = match found? {
            Ok(purchase) => purchase,
            Err(short) => {
                let said = not_enough(&short, together.copies());
                Sink::new(&self.verb.target).write(&said)?;
                return Ok(CLASH);
            }
        };
        let shopping = Shopping {
            title: self.title,
            supplies,
            purchase: &purchase,
            any_ring: 0,
            any_print: 0,
            ring: None,
            ruler: self.ruler,
        };
        self.tell_all(
            &purchase.order,
            purchase.batches.clone(),
            Some(&shopping.text(&[designs::section(self.designs)])),
        )
    }

    /// What is bought for it stands above the plan as a maker reads it.
    fn tell_all(
        &self,
        order: &Order,
        batches: Vec<Batch>,
        bought: Option<&str>,
    ) -> Result<u8, Stop> {
        let (verb, ruler) = (self.verb, self.ruler);
        let left = offcuts::left(order, &batches, ruler);
        let answer = Answer {
            order,
            batches: &batches,
            left: &left,
            asked: verb.stages(),
        };
        let code = match words::verdict(&batches) {
            words::Verdict::Proved | words::Verdict::Found => DONE,
            words::Verdict::NotEnough => CLASH,
            words::Verdict::Undecided => UNDECIDED,
        };
        let plans = || batches.iter().flat_map(|b| &b.plan().papers);
        let text = match (verb.json, verb.csv) {
            (true, _) => report::json::cut::plan(self.title, ruler, answer, code),
            (_, true) => words::csv::text(ruler, order, plans()),
            _ => match bought {
                Some(bought) => {
                    let plan = words::text("How to cut these sheets", ruler, answer);
                    format!("{bought}\n{plan}")
                }
                None => {
                    let plan = words::text(self.title, ruler, answer);
                    plan + &designs::section(self.designs).screen()
                }
            },
        };
        self.draw(order, &mut plans())?;
        if let Some(path) = &verb.offcuts {
            match offcuts::supplies(self.title, order, &left, ruler) {
                Some(text) => output::whole(path, text.as_bytes(), verb.target.force)?,
                None => {
                    let message = format!(
                        "{}: not written, for nothing is left that is worth keeping\n",
                        path.display()
                    );
                    output::to_stderr(&message);
                }
            }
        }
        Sink::new(&verb.target).write(&text)?;
        Ok(code)
    }

    /// Drawings into the folder that was named, if any.
    fn draw(
        &self,
        order: &Order,
        plans: &mut dyn Iterator<Item = &crate::cut::work::PaperPlan>,
    ) -> Result<(), Stop> {
        let Some(folder) = &self.verb.svg else {
            return Ok(());
        };
        let pages = crate::draw::sheets::pages(self.title, self.ruler, order, plans);
        let files: Vec<Named> = pages
            .iter()
            .map(|(name, page)| {
                let drawing = crate::draw::svg::file(page);
                (format!("{name}.svg"), drawing.into_bytes())
            })
            .collect();
        let places = folder::places(folder, &files);
        let others = self.verb.offcuts.iter().chain(&self.verb.target.output);
        output::apart(places.iter().chain(others).map(PathBuf::as_path))?;
        folder::fill(folder, &files, self.verb.target.force, Some(OLD))
    }
}
