//! `print`: what lies on the table, as a PDF, as drawings and pictures in folders, as one HTML file.

use super::folder::{Named, Old};
use super::interrupt::{asked_to_stop, stopped_in_time};
use super::output::Kept;
use super::typed::Typed;
use super::wait::patiently;
use super::{
    DONE, Input, Source, Stop, Time, answer, arrange, ask, explained, folder, from, input, kit,
    output, together, usage, work,
};
use crate::arrange::pads;
use crate::cut::pieces::Made;
use crate::cut::work::Batch;
use crate::cut::{Answer, Order, Trimmer};
use crate::draw::handout::{self, Ask, Part};
use crate::draw::list::Document;
use crate::draw::paper::Paper;
use crate::draw::{html, pdf, png, svg};
use crate::length::Ruler;
use crate::plan::{self, Listed};
use crate::report::{self, fit::Detail};
use crate::solve::Limits;
use crate::text::{self, Files};
use clap::{Args, ValueEnum};
use std::path::PathBuf;
use std::sync::atomic::Ordering;

/// Dots an inch of a picture.
const DOTS: u32 = 200;

/// Paper to print on.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Sheet {
    A4,
    Letter,
}

#[derive(Debug, Args)]
pub(super) struct Print {
    #[command(flatten)]
    source: Source,
    /// The printout as a PDF: print it at 100 %
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Each page as an SVG drawing, in a folder
    #[arg(long, value_name = "DIR")]
    svg: Option<PathBuf>,
    /// Each page as a PNG picture, in a folder
    #[arg(long, value_name = "DIR")]
    png: Option<PathBuf>,
    /// Texts and drawings as one HTML file, for a telephone too
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Only these parts, with commas between: cut, sheets, leaves, steps, map, template, outlines, rules, or all
    #[arg(long, value_name = "LIST")]
    pages: Option<String>,
    /// Two pages for each student, three if much goes into the leaf: one leaf to make, with its pieces, its steps, its measures and the template
    #[arg(long, conflicts_with = "pages")]
    handout: bool,
    /// The kind of leaf on them [default: the one that the album has most of]
    #[arg(long, value_name = "NAME", requires = "handout")]
    leaf: Option<String>,
    /// For a class: a page or two for whoever teaches, with what to buy, to cut and to hand out, and a time
    /// plan; then what each student finds in a kit and does with it
    #[arg(long, conflicts_with_all = ["pages", "handout", "html"])]
    kit: bool,
    #[command(flatten)]
    copies: together::Copies,
    /// The paper in your printer [default: letter with a ruler in inches, else a4]
    #[arg(long, value_enum)]
    paper: Option<Sheet>,
    #[command(flatten)]
    time: Time,
    /// Write over files that are there
    #[arg(long)]
    force: bool,
}

pub(super) fn print(verb: &Print) -> Result<u8, Stop> {
    let targets = [&verb.output, &verb.svg, &verb.png, &verb.html];
    if targets.iter().all(|target| target.is_none()) {
        let message = "there is nothing to write yet. Type `-o album.pdf`, `--svg FOLDER`, `--png FOLDER` or `--html album.html`";
        return Err(usage("print", message));
    }
    let ending = verb.output.as_ref().and_then(|path| path.extension());
    if ending.is_some_and(|it| it == "html") {
        let message = "`-o` writes a PDF. Type `--html` instead, or a name that ends in `.pdf`";
        return Err(usage("print", message));
    }
    if !verb.kit && verb.copies.several() {
        let message = "a printout is for one album. For a class type `--kit` too; to cut several albums together type `tuckwright cut` with the same words";
        return Err(usage("print", message));
    }
    let parts = parts(&verb.pages)?;
    let limits = verb.time.begin();
    if verb.kit {
        if let Some(path) = &verb.output {
            output::free(path, verb.force)?;
        }
        let of = (&verb.source, &verb.copies);
        let to = |ruler| paper(verb, ruler);
        let document = kit::pages(of, &to, (&limits, verb.time.seconds))?;
        return put(verb, &document, None);
    }
    of_album(verb, parts.as_deref(), &limits)
}

/// The printout of one album, or of the leaf that a student takes home.
fn of_album(verb: &Print, parts: Option<&[Part]>, limits: &Limits) -> Result<u8, Stop> {
    let mut input = input::read("print", &verb.source)?;
    let leaf = of_student(verb, &input)?;
    for path in verb.output.iter().chain(&verb.html) {
        output::free(path, verb.force)?;
    }
    let worked = work(&input, Listed::All, limits)?;
    let explanation = explained((&input, &verb.source), &worked, limits);
    let (answer, code) = answer(&worked.outcome, explanation.as_ref())?;
    let report::Answer::Fits(plan) = answer else {
        let from = from(&input, &verb.source);
        output::to_screen(&report::fit::text(from, answer, Detail::First))?;
        return Ok(code);
    };
    kit::limited(plan)?;
    let mut plan = plan.clone();
    photos(verb, &mut input, &mut plan)?;
    // Each design of a pad is a paper of its own, and the plan says which piece is of which.
    let album = &input.album.by_design();
    let made = [Made::once(&plan, album)];
    let pads = pads::pads(&made, &|| limits.is_over());
    let order = pads::order(&made, Vec::new(), Trimmer::default(), &pads);
    pads::write(&pads, 0, &album.supplies, &mut plan);
    let plan = &plan;
    let ruler = album.ruler;
    let batches = match order.wants.is_empty() || verb.handout {
        true => Vec::new(),
        false => batches(verb, &input.files, (&order, ruler), limits)?,
    };
    stopped_in_time();
    let cutting = Answer::drawn(&order, &batches);
    let alone = leaf.map(|leaf| {
        let parts = plan::Parts {
            style: &input.style,
            album: &input.album,
            expanded: &worked.expanded,
            solution: &worked.solution,
        };
        plan::alone(parts, plan, leaf)
    });
    let alone = alone.transpose().map_err(|e| defect(e.to_string()))?;
    let ask = match &alone {
        Some((album, plan)) => Ask {
            album,
            plan,
            answer: None,
            parts: Some(&handout::HOME),
        },
        None => Ask {
            album,
            plan,
            answer: cutting,
            parts,
        },
    };
    let document = handout::document(paper(verb, ruler), &ask);
    let page = verb.html.as_ref().map(|_| html::file(&ask));
    put(verb, &document, page)
}

/// Which photo stands where. Photos that cannot be found are reported, and the rest is printed.
fn photos(verb: &Print, input: &mut Input, plan: &mut plan::Plan) -> Result<(), Stop> {
    let found = arrange::standing(input, plan, &verb.source.folder());
    or_without(found, "The names of photos are left out of the printout.\n")
}

/// What was found. Where something is wrong with it, that is shown, and what is left out.
fn or_without<T: Default>(found: Result<T, Stop>, left_out: &str) -> Result<T, Stop> {
    match found {
        Err(Stop::Faults(files, faults)) => {
            output::to_stderr(&text::render(&files, &faults, output::look()));
            output::to_stderr(left_out);
            Ok(T::default())
        }
        found => found,
    }
}

/// How the sheets are cut the usual way: those of the supplies, untrimmed, any kind of cuts that takes the
/// fewest. What cannot be cut is reported, and the rest is printed.
fn batches(
    verb: &Print,
    files: &Files,
    (order, ruler): (&Order, Ruler),
    limits: &Limits,
) -> Result<Vec<Batch>, Stop> {
    let found = patiently(limits, verb.time.seconds, files, |patience| {
        crate::cut::work::work(order, None, ruler, patience)
    });
    or_without(found, "The cutting plans are left out of the printout.\n")
}

/// The paper in the printer.
fn paper(verb: &Print, ruler: Ruler) -> Paper {
    match verb.paper {
        Some(Sheet::A4) => Paper::A4,
        Some(Sheet::Letter) => Paper::Letter,
        None if ruler.is_metric() => Paper::A4,
        None => Paper::Letter,
    }
}

fn defect(why: String) -> Stop {
    Stop::Undecided(format!("the printout could not be made: {why}"))
}

/// Writes the pages wherever they were asked for.
fn put(verb: &Print, document: &Document, page: Option<String>) -> Result<u8, Stop> {
    // Everything is made before anything is written.
    let mut files: Vec<(&PathBuf, Vec<u8>)> = Vec::new();
    let mut folders: Vec<(&PathBuf, Vec<Named>, Old)> = Vec::new();
    if let Some(path) = &verb.output {
        let bytes = pdf::file(document).map_err(|e| defect(e.to_string()))?;
        files.push((path, bytes));
    }
    if let Some((path, page)) = verb.html.as_ref().zip(page) {
        files.push((path, page.into_bytes()));
    }
    if let Some(path) = &verb.svg {
        let pages = each(document, "svg", |page| Ok(svg::file(page).into_bytes()))?;
        let old = Old {
            name: |name| is_page(name, "svg"),
            head: svg::is_ours,
        };
        folders.push((path, pages, old));
    }
    if let Some(path) = &verb.png {
        let pages = each(document, "png", |page| {
            png::file(page, DOTS).map_err(|e| defect(e.to_string()))
        })?;
        let old = Old {
            name: |name| is_page(name, "png"),
            head: png::is_ours,
        };
        folders.push((path, pages, old));
    }
    let pages = folders.iter();
    let pages = pages.flat_map(|(path, pages, _)| folder::places(path, pages));
    let pages: Vec<PathBuf> = pages.collect();
    let all = pages.iter().chain(files.iter().map(|(path, _)| *path));
    output::apart(all.map(PathBuf::as_path))?;
    for (path, pages, _) in &folders {
        folder::room_for(path, pages, verb.force)?;
    }
    let written = files.iter().map(|(path, _)| path.display().to_string());
    let written = written.chain(folders.iter().map(|(path, ..)| path.display().to_string()));
    let written: Vec<String> = written.collect();
    let mut kept = Vec::new();
    for (path, bytes) in &files {
        let mut file = Kept::open(path, verb.force)?;
        file.write(bytes)?;
        kept.push(file);
    }
    for file in kept {
        file.keep()?;
    }
    for (path, pages, old) in folders {
        folder::fill(path, &pages, verb.force, Some(old))?;
    }
    let first = document.pages.first();
    let size = match first.is_some_and(|page| page.width.nm() == Paper::A4.sides().0) {
        true => "A4",
        false => "letter",
    };
    output::to_screen(&format!(
        "{}: {} pages of {size} paper. Print at 100 %, not fitted to the page.\n",
        written.join(", "),
        document.pages.len()
    ))?;
    Ok(DONE)
}

/// The leaf that a student takes home, where it is asked for.
fn of_student(verb: &Print, input: &Input) -> Result<Option<usize>, Stop> {
    let leaves = &input.album.leaves;
    if verb.handout && leaves.is_empty() {
        let message = "`--handout` is one leaf to make, and this album has no leaves. Leave it out";
        return Err(super::usage("print", message));
    }
    let most = || (0..leaves.len()).rev().max_by_key(|n| leaves[*n].count);
    let Some(name) = verb.leaf.as_ref() else {
        return Ok(verb.handout.then(most).flatten());
    };
    let mut typed = Typed::default();
    let leaf = ask::leaf(&mut typed, &input.album, name);
    leaf.map_or_else(|| Err(typed.stop()), |leaf| Ok(Some(leaf)))
}

/// The parts that are typed; `None` for the usual ones.
fn parts(typed: &Option<String>) -> Result<Option<Vec<Part>>, Stop> {
    let Some(typed) = typed else { return Ok(None) };
    let mut all = Vec::new();
    for word in typed.split(',').map(str::trim) {
        match handout::PARTS.iter().find(|(name, _)| *name == word) {
            Some((_, part)) => all.push(*part),
            None if word == "all" => all.extend(handout::PARTS.iter().map(|(_, part)| *part)),
            None => {
                let names = handout::PARTS.iter().map(|(name, _)| format!("`{name}`"));
                let names: Vec<String> = names.collect();
                let message = format!(
                    "`--pages {word}` names no part of the printout. Type {} or `all`, with commas between",
                    names.join(", ")
                );
                return Err(usage("print", &message));
            }
        }
    }
    Ok(Some(all))
}

/// Every page as a file, named by its number.
fn each(
    document: &Document,
    ending: &str,
    write: impl Fn(&crate::draw::list::Page) -> Result<Vec<u8>, Stop>,
) -> Result<Vec<Named>, Stop> {
    let pages = document.pages.iter().enumerate();
    pages
        .map(|(n, page)| match asked_to_stop().load(Ordering::Relaxed) {
            true => Err(Stop::Interrupted),
            false => Ok((format!("page-{:02}.{ending}", n + 1), write(page)?)),
        })
        .collect()
}

/// Whether this is a name that [`each`] gives.
fn is_page(name: &str, ending: &str) -> bool {
    let number = name.strip_prefix("page-");
    let number = number.and_then(|rest| rest.strip_suffix(ending)?.strip_suffix('.'));
    number.is_some_and(|n| n.len() >= 2 && n.bytes().all(|b| b.is_ascii_digit()))
}
