//! `why`: why an album does not fit, whether a thing in the hand goes in, what holds a size back,
//! and what the smallest leaves are that take given things.

use super::ask::{self, AskError};
use super::typed::Typed;
use super::{CLASH, DONE, Input, Reply, Source, Stop, UNDECIDED, from, input, usage, work};
use crate::explain::grow::GrowError;
use crate::explain::need::NeedError;
use crate::explain::{grow, hand, need};
use crate::plan::Listed;
use crate::program::expand::expand;
use crate::report::{self, why as words};
use crate::solve::Limits;
use crate::text::{Problem, Said};
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct Why {
    #[command(flatten)]
    source: Source,
    /// A thing in the hand, width x height, or the name of a card or print of the supplies: does it go in?
    #[arg(long, alias = "card", value_name = "SIZE", conflicts_with_all = ["grow", "need"], allow_hyphen_values = true)]
    insert: Option<String>,
    /// With --insert: mouth, "front slot", "back slot", pocket, band (under it) or back (glued on) [default: every place is tried]
    #[arg(long, value_name = "PLACE", requires = "insert")]
    into: Option<String>,
    /// With --insert or --grow: which leaf, where there are several
    #[arg(long, value_name = "NAME", conflicts_with = "need")]
    leaf: Option<String>,
    /// A size that should be better, such as photo_mat.photo.width: what holds it back?
    #[arg(long, value_name = "NAME", conflicts_with = "need")]
    grow: Option<String>,
    /// What must go in uncut, such as "mouth: 2 of 4 x 6 in": which leaf is the smallest? May be repeated
    #[arg(
        long,
        value_name = "PLACE: [COUNT of] SIZE",
        allow_hyphen_values = true
    )]
    need: Vec<String>,
    /// Writes fixes into the album's file, by their numbers: one, or one of each list such as 1,4
    #[arg(long = "do", value_name = "NUMBERS", allow_hyphen_values = true, conflicts_with_all = ["insert", "grow", "need", "leaf", "json", "bag"])]
    mend: Option<String>,
    #[command(flatten)]
    reply: Reply,
}

/// An answer and its exit code.
type Answered = (String, u8);

pub(super) fn why(verb: &Why) -> Result<u8, Stop> {
    let limits = &verb.reply.time.begin();
    let (text, code) = match (&verb.insert, &verb.grow) {
        _ if !verb.need.is_empty() => need(verb, limits)?,
        (Some(size), _) => insert(verb, size, limits)?,
        (None, Some(name)) => growth(verb, name, limits)?,
        (None, None) if verb.leaf.is_some() => {
            let message = "`--leaf` goes with `--insert` or `--grow`. Leave it out";
            return Err(usage("why", message));
        }
        (None, None) => album(verb, limits)?,
    };
    super::Sink::new(&verb.reply.target).write(&text)?;
    Ok(code)
}

fn read(verb: &Why) -> Result<Input, Stop> {
    let input = input::read("why", &verb.source)?;
    super::Sink::new(&verb.reply.target).ready()?;
    Ok(input)
}

fn album(verb: &Why, limits: &Limits) -> Result<Answered, Stop> {
    let input = read(verb)?;
    let worked = work(&input, Listed::NotKept, limits)?;
    told(verb, &input, &worked, limits)
}

/// What became of the album itself.
fn told(
    verb: &Why,
    input: &Input,
    worked: &crate::plan::work::Worked,
    limits: &Limits,
) -> Result<Answered, Stop> {
    let explanation = super::explained((input, &verb.source), worked, limits);
    if let Some(numbers) = &verb.mend {
        let explanation = explanation.as_ref();
        let worked = (input, worked);
        return super::doing::mend(&verb.source, numbers, worked, explanation, limits);
    }
    let (answer, code) = super::answer(&worked.outcome, explanation.as_ref())?;
    let from = from(input, &verb.source);
    let text = match verb.reply.json {
        true => report::json::why::album(from, answer, code),
        false => words::text(from, answer),
    };
    Ok((text, code))
}

/// Refuses a question about a thing to go in where nothing goes in.
fn goes_in(input: &Input, option: &str, leaves: bool) -> Result<(), Stop> {
    let no_place = input.style.usual_place().is_empty();
    let no_leaf = leaves && input.album.leaves.is_empty();
    if !no_place && !no_leaf {
        return Ok(());
    }
    let message = format!(
        "`{option}` asks where a thing goes in, and nothing goes into this kind of album. Leave it out"
    );
    Err(usage("why", &message))
}

fn insert(verb: &Why, size: &str, limits: &Limits) -> Result<Answered, Stop> {
    let mut input = read(verb)?;
    goes_in(&input, "--insert", true)?;
    let mut typed = Typed::over(&mut input.files);
    let supplies = &input.album.supplies;
    let named = || supplies.cards.iter().chain(&supplies.prints);
    let is_size = size.contains(|letter: char| letter.is_numeric());
    let sides = match named().find(|it| it.name == size) {
        Some(card) => Some((card.width, card.height)),
        None if is_size || size.trim().is_empty() => typed.size("--insert", size),
        None => {
            let said = typed.said("--insert", size);
            let known = named().map(|it| it.name.clone()).collect();
            let name = said.value;
            typed
                .faults
                .tell(said.place, AskError::NoCard { name, known });
            None
        }
    };
    let said = verb.leaf.as_ref();
    let leaf = said.map(|name| ask::leaf(&mut typed, &input.album, name));
    let (leaf, place) = match (&verb.into, sides) {
        (None, Some(sides)) if typed.faults.is_empty() => {
            let all: Vec<usize> = match leaf.flatten() {
                Some(leaf) => vec![leaf],
                None => (0..input.album.leaves.len()).collect(),
            };
            let (style, album) = (&input.style, &input.album);
            let (leaf, place) = hand::best(style, album, &all, sides, limits);
            (Some(Some(leaf)), Some(Said::nowhere(place)))
        }
        // What is wrong with the size or the leaf.
        (None, _) => return Err(typed.stop()),
        (Some(into), _) => (leaf, ask::place(&mut typed, &input.style, into)),
    };
    let leaf = match leaf {
        Some(leaf) => leaf,
        None if input.album.leaves.len() == 1 => Some(0),
        None => {
            let names: Vec<&str> = input.album.leaves.iter().map(|l| l.name.as_str()).collect();
            return Err(which_leaf(&names));
        }
    };
    let (Some((width, height)), Some(place), Some(leaf)) = (sides, place, leaf) else {
        return Err(typed.stop());
    };
    if let Err(errors) = expand(&input.style, &input.album) {
        input.files = typed.done()?;
        return Err(super::faults(&input.files, errors));
    }
    ask::must_have(&mut typed, (&input.style, &input.album), leaf, &place);
    input.files = typed.done()?;
    let ask = hand::Ask {
        width,
        height,
        place: place.value,
        leaf,
    };
    let found = hand::hand(&input.style, &input.album, &ask, limits);
    let hand = found.map_err(|errors| super::faults(&input.files, errors))?;
    let code = match (&hand.stopped, hand.as_it_is || hand.turned) {
        (_, true) => DONE,
        (Some(_), false) if hand.trims.is_empty() => UNDECIDED,
        (_, false) => CLASH,
    };
    let from = from(&input, &verb.source);
    let text = match verb.reply.json {
        true => report::json::why::hand(from, &hand, code),
        false => words::hand(from, &hand),
    };
    Ok((text, code))
}

fn which_leaf(names: &[impl AsRef<str>]) -> Stop {
    let message = format!(
        "the album has several leaves. Name one with `--leaf`: {}",
        crate::text::either(names)
    );
    usage("why", &message)
}

fn growth(verb: &Why, name: &str, limits: &Limits) -> Result<Answered, Stop> {
    let mut input = read(verb)?;
    let worked = work(&input, Listed::NotKept, limits)?;
    let leaf = verb.leaf.as_deref();
    let growth = match grow::grow(&input.style, &input.album, &worked, name, leaf, limits) {
        Ok(growth) => growth,
        // Then the answer is why, with its exit code.
        Err(error @ (GrowError::DoesNotFit | GrowError::Stopped(_))) => {
            let (text, code) = told(verb, &input, &worked, limits)?;
            let first = match (error, verb.reply.json) {
                (GrowError::DoesNotFit, false) => {
                    "Nothing grows in an album that does not fit. First:\n"
                }
                _ => "",
            };
            return Ok((format!("{first}{text}"), code));
        }
        Err(GrowError::WhichLeaf { leaves, .. }) => return Err(which_leaf(&leaves)),
        Err(error) => {
            let mut typed = Typed::over(&mut input.files);
            let fault = match error {
                GrowError::NoSuchLeaf { leaf, known } => {
                    let place = typed.said("--leaf", &leaf).place;
                    AskError::NoLeaf { name: leaf, known }.at(place)
                }
                GrowError::NoSuchSize { name, known } => {
                    let place = typed.said("--grow", &name).place;
                    AskError::NoSize { name, known }.at(place)
                }
                other => {
                    let place = typed.said("--grow", name).place;
                    let what = other.to_string();
                    AskError::Given { what }.at(place)
                }
            };
            typed.faults.add(fault);
            return Err(typed.stop());
        }
    };
    let from = from(&input, &verb.source);
    let text = match verb.reply.json {
        true => report::json::why::grow(from, &growth, DONE),
        false => words::grow(from, &growth),
    };
    Ok((text, DONE))
}

fn need(verb: &Why, limits: &Limits) -> Result<Answered, Stop> {
    let source = &verb.source;
    let mut typed = Typed::default();
    let mut all = Vec::new();
    for written in &verb.need {
        all.extend(ask::needed(&mut typed, written));
    }
    if !typed.faults.is_empty() {
        return Err(typed.stop());
    }
    let mut input = match (&source.album, &source.bag, verb.need.first()) {
        (None, None, Some(first)) => input::open(typed, "why", source, ask::size_in(first))?,
        _ => input::read_beside(typed, "why", source)?,
    };
    goes_in(&input, "--need", false)?;
    super::Sink::new(&verb.reply.target).ready()?;
    let mut typed = Typed::over(&mut input.files);
    let placed = all
        .iter()
        .map(|one| ask::placed(&mut typed, &input.style, one));
    let placed: Vec<_> = placed.collect();
    input.files = typed.done()?;
    let wants: Vec<_> = placed.into_iter().flatten().collect();
    let need = match need::need(&input.style, &input.album, &wants, limits) {
        Ok(need) => need,
        Err(NeedError::Expand(errors)) => {
            let mut typed = Typed::over(&mut input.files);
            if ask::no_place(&mut typed, &input.album, &all, &errors) {
                return Err(typed.stop());
            }
            input.files = typed.done()?;
            return Err(super::faults(&input.files, errors));
        }
        Err(other) => return Err(Stop::Told(other.to_string())),
    };
    let code = match (need.leaves.is_empty(), need.all) {
        (false, _) => DONE,
        (true, true) => CLASH,
        (true, false) => UNDECIDED,
    };
    let mut from = from(&input, source);
    if source.album.is_none() {
        from.title = "the smallest leaf";
    }
    let text = match verb.reply.json {
        true => report::json::why::need(from, &wants, &need, code),
        false => words::need(from, &wants, &need),
    };
    Ok((text, code))
}
