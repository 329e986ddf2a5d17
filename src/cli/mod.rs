//! Commands: what is typed, what is read, what is written. The only room that touches files.
//!
//! `input` makes an album of a file or of a bag's measures (`bag`), `why` asks for explanations
//! (`ask` reads its questions, `doing` writes a fix into the album), `compare` puts bags side by side (`bags` reads them), `watch` counts
//! long work and stops it, `interrupt` hears Ctrl-C, `cut` asks for cutting plans (`sheets` reads its options, `wait` watches
//! it, `together` makes one job of several albums and their copies, as they are `typed`), `buy` asks what to buy, `arrange` puts photos and designs in their places, `price` asks what to ask, `mistyped` says what is wrong with a command line, `meant` how a bag was probably meant, `print` makes the printout (`kit` that of a class), `disk` reads files and remembers them, `output` writes an answer
//! whole or not at all, `folder` the same for a folder of files (`held` keeps other runs out of it),
//! `open` serves the page in the browser (`claim` keeps another run off its album, `draft` what is not saved), `export` writes a step for other solvers, `start` makes a folder to start from, `help` shows topics. May import every other room.

mod arrange;
mod ask;
mod bag;
mod bags;
mod buy;
mod claim;
mod compare;
mod cut;
mod disk;
mod doing;
mod draft;
mod export;
mod folder;
mod held;
mod help;
mod input;
mod interrupt;
mod kit;
mod meant;
mod mistyped;
mod open;
mod output;
mod price;
mod print;
mod sheets;
mod start;
mod together;
mod typed;
mod wait;
mod watch;
mod why;

use crate::album::Album;
use crate::explain::{self, Explanation, fixes};
use crate::plan::Listed;
use crate::plan::work::{Outcome, Worked, work_laid};
use crate::program::expand::expand;
use crate::report::{self, fit::Detail};
use crate::solve::Limits;
use crate::style::{Style, shipped};
use crate::text::{self, Fault, Faults, Files};
use clap::error::ErrorKind;
use clap::{Args, CommandFactory, Parser, Subcommand};
use output::Sink;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// It is done.
const DONE: u8 = 0;
/// The album does not fit.
const CLASH: u8 = 1;
/// What was typed or read is wrong, or an answer could not be written.
const WRONG: u8 = 2;
/// A limit was met, or a defect of the program.
const UNDECIDED: u8 = 3;
/// The maker stopped it with Ctrl-C: what shells say of a program that ends so.
const STOPPED: u8 = 130;

/// Exact sizes for ring-bound albums made of paper bags.
#[derive(Debug, Parser)]
#[command(
    name = "tuckwright",
    version,
    about = "Exact sizes for ring-bound albums made of paper bags, each with the rule that decides it",
    disable_help_subcommand = true,
    after_help = "A first answer without any file:\n  tuckwright fit --bag \"5 1/8 x 8 1/2 in\"\n\nMore to read, such as what an album file holds: tuckwright help\n\nExit code: 0 done, 1 it does not fit, 2 the input is wrong, 3 undecided."
)]
struct Line {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// Every size of an album, with the rule that decides it
    Fit(Fit),
    /// Why it does not fit and what is cheapest to change; whether a thing in the hand goes in; what
    /// holds a size back; the smallest leaf for given things
    Why(Box<why::Why>),
    /// The same album made of other bags, side by side: the largest photo, what holds it back, price
    Compare(Box<compare::Compare>),
    /// The fewest sheets for an album or any list of pieces, and the cuts in the trimmer's order
    Cut(Box<cut::Cut>),
    /// What to buy, in packs, at the least money, beyond what is at home
    Buy(Box<buy::Buy>),
    /// Which photo stands where, with the least cut off; which prints to order and how to trim them
    Arrange(arrange::Arrange),
    /// What an album costs and what to ask for it, how long it takes, what it weighs, which parcel takes it
    Price(price::Price),
    /// The rule book of an album, with its numbers, tight rules first
    Rules(Rules),
    /// The printout: lists, drawings with measures, steps, the template at true scale
    Print(print::Print),
    /// One step of the working out, as a free MPS file for any other program that solves such files
    Export(export::Export),
    /// The whole job on one page in the browser: measures, drawings, what to cut; undo, save, print
    Open(open::Open),
    /// The kinds of album that come with the program
    Kinds,
    /// Make a folder to start from: an album and its supplies
    New(New),
    /// Topics to read: album files, supplies, kinds ...; man pages, completions for a shell
    Help(help::Help),
}

/// What an album is read from.
#[derive(Clone, Debug, Default, Args)]
struct Source {
    /// An album file
    album: Option<PathBuf>,
    /// Instead of a file: the flat bag, width x height or width x gusset x height, with ± if you like
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    bag: Option<String>,
    /// With --bag: the kind of album, one of `tuckwright kinds` or a style file [default: upright]
    #[arg(long, value_name = "KIND")]
    style: Option<String>,
    /// With --bag: height of the leaf where the bag is folded up to make a pocket
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    folded: Option<String>,
    /// With --bag: height of the pocket's edge above the tail
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pocket: Option<String>,
    /// With --bag: how far a thing slides down below the pocket's edge
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pocket_depth: Option<String>,
    /// With --bag: its bottom, pinch or block; a flat bag of which it is not said counts the worse
    /// of both at its holes and its mouth
    #[arg(long, value_name = "KIND", allow_hyphen_values = true)]
    bottom: Option<String>,
    /// With --bag: the smallest step that you cut to [default: 1/8 in or 1 mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    ruler: Option<String>,
    /// With --bag: diameter of a hole
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    hole: Option<String>,
    /// With --bag: hole centres to the spine edge
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    edge: Option<String>,
    /// With --bag: the photo's shape, either way up, such as 2:3
    #[arg(long, value_name = "A:B", allow_hyphen_values = true)]
    photo_shape: Option<String>,
    /// With --bag: the print that the photo is trimmed from, such as "4 x 6 in"
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    print: Option<String>,
    /// With --bag: how many pull-outs go into it [default: 1]
    #[arg(long, value_name = "NUMBER", requires = "bag", value_parser = mistyped::whole::<u64>(1..=20))]
    pull_outs: Option<u64>,
    /// A quantity of the style that differs here, such as caption_strip="3/4 in"; may be repeated
    #[arg(long, value_name = "NAME=VALUE", allow_hyphen_values = true)]
    set: Vec<String>,
}

impl Source {
    /// Options that describe a bag, those that were typed.
    fn of_the_bag(&self) -> [(&'static str, &Option<String>); 10] {
        [
            ("--style", &self.style),
            ("--folded", &self.folded),
            ("--pocket", &self.pocket),
            ("--pocket-depth", &self.pocket_depth),
            ("--bottom", &self.bottom),
            ("--ruler", &self.ruler),
            ("--hole", &self.hole),
            ("--edge", &self.edge),
            ("--photo-shape", &self.photo_shape),
            ("--print", &self.print),
        ]
    }
}

/// How long the maker waits.
#[derive(Clone, Copy, Debug, Args)]
struct Time {
    /// After this many seconds you get the best answer so far, or "undecided" [default: 60]
    #[arg(long = "time", value_name = "SECONDS", value_parser = mistyped::whole::<u64>(1..=86_400))]
    seconds: Option<u64>,
}

/// Seconds, unless some are typed.
const TIME: u64 = 60;

impl Time {
    /// Limits of an answer that is begun now.
    fn begin(self) -> Limits {
        Limits::lasting(Duration::from_secs(self.seconds.unwrap_or(TIME)))
    }
}

/// Where an answer goes.
#[derive(Debug, Default, Args)]
struct Target {
    /// Write to a file instead of the screen
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long)]
    force: bool,
}

/// How long an answer may take, and where it goes.
#[derive(Debug, Args)]
struct Reply {
    /// For other programs; `tuckwright help json` tells its shape
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    time: Time,
    #[command(flatten)]
    target: Target,
}

#[derive(Debug, Args)]
struct Fit {
    #[command(flatten)]
    source: Source,
    /// Everything: rule names and sources, borders, reveals, all cautions
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    reply: Reply,
}

#[derive(Debug, Args)]
struct Rules {
    #[command(flatten)]
    source: Source,
    /// Every name that a rule may say, instead of the rules
    #[arg(long, conflicts_with = "json")]
    names: bool,
    #[command(flatten)]
    reply: Reply,
}

#[derive(Debug, Args)]
struct New {
    /// The folder; it is made if it is not there
    dir: PathBuf,
    /// The kind of album, one of `tuckwright kinds` or a style file
    #[arg(long, value_name = "KIND", default_value = shipped::SHIPPED[0].0)]
    style: String,
    /// In millimetres instead of inches
    #[arg(long)]
    metric: bool,
}

/// An album with its style and the files that both were read from.
struct Input {
    files: Files,
    album: Album,
    style: Style,
}

/// Why there is no answer.
enum Stop {
    /// What was typed cannot be read: the verb, if there is one, and a sentence.
    Usage(Option<String>, String),
    /// What is wrong in files and options.
    Faults(Box<Files>, Faults),
    /// One plain message.
    Told(String),
    /// One plain message about a defect or a limit.
    Undecided(String),
    /// The maker stopped it.
    Interrupted,
    /// It was answered already, with this exit code.
    Answered(u8),
}

/// Does what a command line says and tells the exit code.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> u8 {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    if let Some(columns) = output::screen() {
        report::on_screen(columns);
    }
    let done = match Line::try_parse_from(&arguments) {
        Ok(line) => obey(line),
        Err(error) if asks_for_help(error.kind()) => {
            let code = if error.use_stderr() { WRONG } else { DONE };
            let _ = error.print();
            return code;
        }
        Err(error) => Err(Stop::Usage(verb(&arguments), mistyped::message(&error))),
    };
    let told = |message: &str| text::told(message, output::look());
    let (code, message) = match done {
        Ok(code) | Err(Stop::Answered(code)) => return code,
        Err(Stop::Usage(verb, message)) => (WRONG, mistyped::sentences(verb.as_deref(), &message)),
        Err(Stop::Faults(files, faults)) => (WRONG, text::render(&files, &faults, output::look())),
        Err(Stop::Told(message)) => (WRONG, told(&message)),
        Err(Stop::Undecided(message)) => (UNDECIDED, told(&message)),
        Err(Stop::Interrupted) => (STOPPED, told("Stopped; nothing was written")),
    };
    output::to_stderr(&message);
    code
}

/// `--help` and `--version` go to stdout; a line without a verb is answered with help too.
fn asks_for_help(kind: ErrorKind) -> bool {
    matches!(
        kind,
        ErrorKind::DisplayHelp
            | ErrorKind::DisplayVersion
            | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand
    )
}

/// The verb of a command line that cannot be read.
fn verb(arguments: &[OsString]) -> Option<String> {
    let typed = arguments.get(1)?.to_str()?;
    let line = Line::command();
    line.find_subcommand(typed)
        .map(|verb| verb.get_name().to_owned())
}

fn obey(line: Line) -> Result<u8, Stop> {
    match line.verb {
        Verb::Fit(verb) => fit(&verb),
        Verb::Why(verb) => why::why(&verb),
        Verb::Compare(verb) => compare::compare(&verb),
        Verb::Cut(verb) => cut::cut(&verb),
        Verb::Buy(verb) => buy::buy(&verb),
        Verb::Arrange(verb) => arrange::arrange(&verb),
        Verb::Price(verb) => price::price(&verb),
        Verb::Rules(verb) => rules(&verb),
        Verb::Print(verb) => print::print(&verb),
        Verb::Export(verb) => export::export(&verb),
        Verb::Open(verb) => open::open(&verb),
        Verb::Kinds => start::kinds(),
        Verb::New(verb) => start::start(&verb.dir, &verb.style, verb.metric),
        Verb::Help(verb) => help::help(&verb),
    }
}

/// A mistake in how options are put together: what is wrong, and what to type.
fn usage(verb: &str, message: &str) -> Stop {
    Stop::Usage(Some(verb.to_owned()), message.to_owned())
}

/// The album worked out; its plan lists the rules that are asked for.
fn work(input: &Input, listed: Listed, limits: &Limits) -> Result<Worked, Stop> {
    let Input { style, album, .. } = input;
    let wrong = |errors| faults(&input.files, errors);
    let expanded = expand(style, album).map_err(wrong)?;
    work_laid((style, album), expanded, listed, limits).map_err(wrong)
}

/// What is wrong in files that were read.
fn faults(files: &Files, errors: Vec<impl Fault + 'static>) -> Stop {
    let faults = errors.into_iter().map(|e| Box::new(e) as _).collect();
    Stop::Faults(Box::new(files.clone()), faults)
}

/// Why an album does not fit, where it does not.
fn explained(
    (input, source): (&Input, &Source),
    worked: &Worked,
    limits: &Limits,
) -> Option<Explanation> {
    let Outcome::Clash(_) = worked.outcome else {
        return None;
    };
    let meant = meant::meant(input, source, limits);
    Some(Explanation {
        meant,
        ..fixes::why(&input.style, &input.album, worked, limits)
    })
}

/// The answer as a report reads it, and its exit code.
fn answer<'a>(
    outcome: &'a Outcome,
    explanation: Option<&'a Explanation>,
) -> Result<(report::Answer<'a>, u8), Stop> {
    Ok(match (outcome, explanation) {
        (Outcome::Fits(plan), _) => (report::Answer::Fits(plan), DONE),
        (Outcome::Clash(_), Some(why)) => (report::Answer::Clash(why), CLASH),
        (Outcome::Clash(_), None) => {
            return Err(Stop::Undecided(
                "it does not fit, and why was not asked".to_owned(),
            ));
        }
        (Outcome::Undecided(why), _) => (report::Answer::Undecided(*why), UNDECIDED),
        (Outcome::Defect(defect), _) => return Err(self::defect(defect)),
    })
}

/// A plan that broke a rule when it was verified.
fn defect(defect: &crate::plan::verify::VerifyError) -> Stop {
    Stop::Undecided(format!(
        "tuckwright made a mistake: {defect}.\nNothing that it worked out for this album can be trusted. \
         Please report it, with the album and\nits supplies, to whoever gave you this program."
    ))
}

/// What was asked about, as a report names it.
fn from<'a>(input: &'a Input, source: &Source) -> report::From<'a> {
    report::From {
        title: &input.album.title,
        ruler: input.album.ruler,
        bag: source.bag.is_some(),
        without_pocket: [&source.bag, &source.pocket, &source.folded].map(Option::is_some)
            == [true, false, false]
            && input.style.reads("bag.pocket_edge")
            && input
                .album
                .supplies
                .bags
                .iter()
                .all(|bag| bag.gusset.is_none()),
        file: source.album.is_some() && source.set.is_empty(),
        leaves: input.album.leaves.len(),
        style: &input.style,
        files: &input.files,
    }
}

impl Source {
    /// The folder of the album's file.
    fn folder(&self) -> PathBuf {
        let folder = self.album.as_deref().and_then(Path::parent);
        folder.unwrap_or(Path::new("")).to_owned()
    }
}

fn fit(verb: &Fit) -> Result<u8, Stop> {
    let limits = verb.reply.time.begin();
    let input = input::read("fit", &verb.source)?;
    Sink::new(&verb.reply.target).ready()?;
    let mut worked = work(&input, Listed::NotKept, &limits)?;
    if let Outcome::Fits(plan) = &mut worked.outcome {
        arrange::watched(&input, plan, &verb.source.folder(), &limits);
    }
    let explanation = explained((&input, &verb.source), &worked, &limits);
    let (answer, code) = answer(&worked.outcome, explanation.as_ref())?;
    let from = from(&input, &verb.source);
    let detail = if verb.all { Detail::All } else { Detail::First };
    let text = match verb.reply.json {
        true => report::json::fit(from, answer, code),
        false => {
            let remedies = remedies(&input, &worked, &limits);
            let short = match &worked.outcome {
                Outcome::Fits(plan) => buy::short(&input, plan, &limits),
                _ => Vec::new(),
            };
            report::fit::with_remedies(from, answer, detail, (&remedies, &short))
        }
    };
    Sink::new(&verb.reply.target).write(&text)?;
    Ok(code)
}

/// What would keep the wishes that are not kept.
fn remedies(input: &Input, worked: &Worked, limits: &Limits) -> Vec<explain::watch::Remedy> {
    match worked.outcome {
        Outcome::Fits(_) => explain::watch::remedies(&input.style, &input.album, worked, limits),
        _ => Vec::new(),
    }
}

fn rules(verb: &Rules) -> Result<u8, Stop> {
    let limits = verb.reply.time.begin();
    let sink = Sink::new(&verb.reply.target);
    if verb.names {
        let style = input::style("rules", &verb.source)?;
        sink.write(&report::rules::names(&style))?;
        return Ok(DONE);
    }
    let input = input::read("rules", &verb.source)?;
    sink.ready()?;
    let worked = work(&input, Listed::All, &limits)?;
    let explanation = explained((&input, &verb.source), &worked, &limits);
    let (answer, code) = answer(&worked.outcome, explanation.as_ref())?;
    let from = from(&input, &verb.source);
    let text = match verb.reply.json {
        true => report::json::rules(from, answer, code),
        false => report::rules::text(from, answer),
    };
    sink.write(&text)?;
    Ok(code)
}
