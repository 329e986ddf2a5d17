//! `compare`: the same album made of other bags, side by side; `sweep` goes over all sizes of bag, `remake`
//! puts the album into the one that is typed.

mod remake;
mod sweep;

use super::ask::AskError;
use super::bags::{self, Bags};
use super::input;
use super::interrupt::asked_to_stop;
use super::output::{self, Sink};
use super::typed::Typed;
use super::watch::Watch;
use super::{CLASH, DONE, Input, Source, Stop, Target, Time, UNDECIDED, WRONG, from};
use crate::album::Album;
use crate::compare::rank::{AtLeast, Least, Ranked, Ranking, Respect};
use crate::compare::{self, Answer, Asked, At, Candidate, CompareError, Comparison, Offer};
use crate::draw;
use crate::report::{self, fit::Detail};
use crate::solve::Limits;
use crate::text::{Problem, nearest};
use clap::Args;
use clap::builder::PossibleValuesParser;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct Compare {
    #[command(flatten)]
    source: Source,
    /// A file of bags: supplies (.toml) or a table (.csv), see `tuckwright help compare`; may be
    /// repeated [default:
    /// the bags of the album's supplies]
    #[arg(long, value_name = "FILE")]
    bags: Vec<PathBuf>,
    /// The unit of numbers in tables that have none: in, mm or cm
    #[arg(long, value_name = "UNIT", requires = "bags")]
    unit: Option<String>,
    /// Only this leaf gets the other bag
    #[arg(long, value_name = "NAME")]
    leaf: Option<String>,
    /// In which order, best first: photo, price, leaves (on the ring), paper, thickness; several with
    /// commas
    #[arg(long, value_name = "RESPECTS", value_delimiter = ',', default_value = "photo,price",
          value_parser = PossibleValuesParser::new(Respect::ALL.map(|(name, _)| name)))]
    by: Vec<String>,
    /// Only bags that give at least this: "photo 3 x 4 in", "leaves 8", or an insert by its name; may be
    /// repeated
    #[arg(long, value_name = "WHAT SIZE")]
    at_least: Vec<String>,
    /// How many of the best are shown
    #[arg(long, value_name = "N", default_value_t = 20, value_parser = super::mistyped::whole::<usize>(1..=1000))]
    most: usize,
    /// Everything of every bag that is shown
    #[arg(long)]
    all: bool,
    /// Instead of a table: the largest photo of all bags so wide, such as "3 in .. 8 in", with
    /// --heights; a gusset and a pocket as those of the album's bag
    #[arg(
        long,
        value_name = "FROM .. TO",
        requires = "heights",
        allow_hyphen_values = true
    )]
    widths: Option<String>,
    /// With --widths: and so high
    #[arg(
        long,
        value_name = "FROM .. TO",
        requires = "widths",
        allow_hyphen_values = true
    )]
    heights: Option<String>,
    /// With --widths: from one bag to the next [default: a ruler step]
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "widths",
        allow_hyphen_values = true
    )]
    step: Option<String>,
    /// With --widths: the gusset of these bags; "none" for flat ones
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "widths",
        allow_hyphen_values = true
    )]
    gusset: Option<String>,
    /// A picture beside the answer: the bags at one scale with their photos, or a map of all sizes
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Every bag as a row, in the order in which they were read
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// For other programs; `tuckwright help json` tells its shape
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    time: Time,
    #[command(flatten)]
    target: Target,
}

pub(super) fn compare(verb: &Compare) -> Result<u8, Stop> {
    if let (Some(_), Some(_)) = (&verb.source.album, &verb.source.bag) {
        return remake::remake(verb);
    }
    let limits = Limits {
        stop: Some(asked_to_stop()),
        ..verb.time.begin()
    };
    let mut input = input::read("compare", &verb.source)?;
    let at_least = wanted(verb, &mut input)?;
    let over = match (&verb.widths, &verb.heights) {
        (Some(widths), Some(heights)) => Some(sweep::read(verb, &mut input, widths, heights)?),
        _ => None,
    };
    let asked = asked(verb, &input)?;
    let bags = offered(verb, &input, over.is_some())?;
    let targets = || verb.svg.iter().chain(&verb.target.output);
    output::apart(targets().map(PathBuf::as_path))?;
    for path in targets() {
        output::free(path, verb.target.force)?;
    }
    let done = match over {
        Some(over) => sweep::sweep(verb, &input, &asked, over, bags, &limits),
        None => table(verb, &input, &asked, at_least, bags, &limits),
    };
    let (code, wrong) = done?;
    output::to_stderr(&wrong);
    Ok(code)
}

/// An exit code, and what is wrong with rows of bags.
type Done = (u8, String);

/// The bags in order, or each as a row.
fn table(
    verb: &Compare,
    input: &Input,
    asked: &Asked<'_>,
    at_least: Vec<AtLeast>,
    mut bags: Bags,
    limits: &Limits,
) -> Result<Done, Stop> {
    let names = bags.names.clone();
    let by = respects(&verb.by);
    let ruler = input.album.ruler;
    let sink = Sink::new(&verb.target);
    let mut rows = verb.csv.then(|| sink.rows()).transpose()?;
    if let Some(rows) = &mut rows {
        rows.write(report::compare::csv::HEAD)?;
    }
    let mut watch = Watch::begin();
    let mut ranking = Ranking::new(&by, &at_least, verb.most);
    let in_time = std::iter::from_fn(|| match limits.is_over() {
        true => None,
        false => bags.next(),
    });
    compare::each(asked, limits, in_time, |offer| {
        watch.one_more()?;
        sound(&offer)?;
        if let Some(rows) = &mut rows {
            rows.write(&report::compare::csv::row(ruler, &names, &offer))?;
        }
        ranking.take(offer);
        Ok(())
    })?;
    let unread = limits.is_over() && bags.next().is_some();
    watch.end();
    let wrong = bags.wrong()?;
    let mut compared = Comparison {
        scope: asked.scope(),
        counts: ranking.counts,
        ranked: Vec::new(),
        less: ranking.less(),
        failed: Vec::new(),
        by,
        at_least,
        wrong_rows: bags.wrong_rows,
        unread,
    };
    let found = ranking.finish();
    // In rows nothing is verified from the text of the rules, and no needs are listed.
    match rows.is_none() || verb.svg.is_some() {
        true => verified(asked, &mut compared, found, limits)?,
        false => compared.ranked = found.0,
    }
    watch.still_wanted()?;
    let code = match exit_code(bags.wrong_rows, compared.counts.fit, compared.counts.open) {
        DONE | CLASH if unread => UNDECIDED,
        code => code,
    };
    if let Some(path) = &verb.svg {
        let page = draw::shelf::page(&input.album.title, ruler, &compared);
        output::whole(path, draw::svg::file(&page).as_bytes(), verb.target.force)?;
    }
    if let Some(rows) = rows {
        rows.done()?;
        let wrong = match unread {
            true => format!("{wrong}{}\n", report::compare::UNREAD),
            false => wrong,
        };
        return Ok((code, wrong));
    }
    let from = from(input, &verb.source);
    let detail = if verb.all { Detail::All } else { Detail::First };
    let text = match verb.json {
        true => report::json::compare::compare(from, &names, &compared, code),
        false => report::compare::text(from, &compared, detail),
    };
    sink.write(&text)?;
    Ok((code, wrong))
}

/// What was found, each bag that fits worked out again the whole way, and what the others need. What the time
/// is too short for is undecided.
fn verified(
    asked: &Asked<'_>,
    compared: &mut Comparison,
    (mut ranked, failed): (Vec<Ranked>, Vec<Offer>),
    limits: &Limits,
) -> Result<(), Stop> {
    compared.failed = compare::with_needs(asked, failed, limits);
    for one in &mut ranked {
        one.offer =
            compare::verified(asked, &one.offer, limits).ok_or_else(|| unlike(&one.offer))?;
    }
    let found = ranked.len();
    ranked.retain(|one| one.offer.fit().is_some());
    let late = (found - ranked.len()) as u64;
    compared.counts.fit -= late;
    compared.counts.open += late;
    compared.ranked = ranked;
    Ok(())
}

/// Worked out fast and worked out the whole way, a bag gives different things.
fn unlike(offer: &Offer) -> Stop {
    Stop::Undecided(format!(
        "tuckwright made a mistake: `{}` worked out twice gives two answers.\nPlease report it, with the \
         album and the bag, to whoever gave you this program.",
        offer.bag.name
    ))
}

/// No plan broke a rule.
fn sound(offer: &Offer) -> Result<(), Stop> {
    match &offer.answer {
        Answer::Defect(defect) => Err(super::defect(defect)),
        _ => Ok(()),
    }
}

/// Wrong rows are told by the exit code even where the others fit.
fn exit_code(wrong_rows: u64, fit: u64, open: u64) -> u8 {
    match (wrong_rows, fit, open) {
        (1.., _, _) => WRONG,
        (0, 1.., _) => DONE,
        (0, 0, 1..) => UNDECIDED,
        (0, 0, 0) => CLASH,
    }
}

/// The bags: that of `--bag` or those of the album's supplies, and those of the files.
fn offered(verb: &Compare, input: &Input, swept: bool) -> Result<Bags, Stop> {
    let own = match (&verb.source.bag, verb.bags.is_empty()) {
        (Some(_), true) if !swept => return Err(bags::no_bags()),
        // The bag in the hand is one of them; an album that names files is compared with those.
        (Some(_), _) | (None, true) => candidates(&input.album),
        (None, false) => Vec::new(),
    };
    let names = match (own.is_empty(), &verb.source.album) {
        (false, Some(album)) => vec![album.display().to_string()],
        (false, None) => vec!["typed".to_owned()],
        (true, _) => Vec::new(),
    };
    if own.is_empty() && verb.bags.is_empty() && !swept {
        return Err(bags::no_bags());
    }
    Bags::of(own, names).open(&verb.bags, verb.unit.as_deref())
}

fn candidates(album: &Album) -> Vec<Candidate> {
    let bags = album.supplies.bags.iter().cloned();
    let at = At::default();
    bags.map(|bag| Candidate { bag, at }).collect()
}

fn asked<'i>(verb: &Compare, input: &'i Input) -> Result<Asked<'i>, Stop> {
    match Asked::new(&input.style, &input.album, verb.leaf.as_deref()) {
        Ok(asked) => Ok(asked),
        Err(error @ CompareError::NoBags) => {
            let message = format!("{error}. To try other papers, change them in the album");
            Err(super::usage("compare", &message))
        }
        Err(CompareError::Expand(errors)) => Err(super::faults(&input.files, errors)),
        Err(CompareError::NoSuchLeaf { name, known }) => {
            let mut typed = Typed::default();
            let place = typed.said("--leaf", &name).place;
            typed.faults.tell(place, AskError::NoLeaf { name, known });
            Err(typed.stop())
        }
    }
}

fn respects(names: &[String]) -> Vec<Respect> {
    let mut by: Vec<Respect> = Vec::new();
    for name in names {
        let respect = Respect::ALL.iter().find(|(known, _)| known == name);
        // What is said twice counts where it is said first.
        by.extend(respect.map(|(_, r)| *r).filter(|r| !by.contains(r)));
    }
    by
}

/// What is asked for at least: a thing, and its size or count.
fn wanted(verb: &Compare, input: &mut Input) -> Result<Vec<AtLeast>, Stop> {
    let mut typed = Typed::over(&mut input.files);
    let leaves = input.album.leaves.iter();
    let names = leaves.flat_map(|leaf| leaf.inserts.iter().map(|i| i.name.clone()));
    let mut known: Vec<String> = ["photo", "leaves"].map(str::to_owned).to_vec();
    known.extend(names);
    let mut all = Vec::new();
    for text in &verb.at_least {
        let said = typed.said("--at-least", text);
        let (what, rest) = text
            .trim()
            .split_once(char::is_whitespace)
            .unwrap_or((text, ""));
        let what = what.trim_end_matches(':');
        let fault = |near| {
            AskError::AtLeast {
                written: text.clone(),
                near,
                known: known.clone(),
            }
            .at(said.place)
        };
        if !known.iter().any(|name| name == what) {
            let near = nearest(what, known.iter().map(String::as_str)).map(str::to_owned);
            typed.faults.add(fault(near));
            continue;
        }
        let least = if what == "leaves" {
            let count = rest.trim().parse::<i64>().ok().filter(|count| *count >= 0);
            if count.is_none() {
                typed.faults.add(fault(None));
            }
            count.map(Least::Leaves)
        } else {
            let start = text.len() - rest.len();
            let part = crate::text::Said {
                value: rest.to_owned(),
                place: said.part(start..text.len()),
            };
            typed.size_of("--at-least", &part).map(|(width, height)| {
                let (width, height) = (width.most(), height.most());
                match what {
                    "photo" => Least::Photo(width, height),
                    name => Least::Insert(name.to_owned(), width, height),
                }
            })
        };
        let words = text.trim().to_owned();
        all.extend(least.map(|least| AtLeast { words, least }));
    }
    input.files = typed.done()?;
    Ok(all)
}
