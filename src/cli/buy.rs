//! `buy`: what to buy for albums, at the least money; what is there afterwards.

use super::together::{self, Copies, Outcomes, Together};
use super::typed::Typed;
use super::wait::patiently;
use super::{CLASH, DONE, Reply, Sink, Source, Stop, output, written};
use crate::cut::work::WorkError;
use crate::cut::{Stages, Trimmer, offcuts};
use crate::length::Ruler;
use crate::report::buy::Shopping;
use crate::shop::buy::{BuyError, How, Purchase, buy as cheapest};
use crate::shop::left::Afterwards;
use crate::shop::needs::{Needs, needs};
use crate::solve::Limits;
use crate::supplies::Supplies;
use clap::Args;
use std::path::PathBuf;

/// The answer if no choice of packs is enough.
pub(super) const NOT_ENOUGH: &str =
    "The packs that you can buy are not enough (proved). Raise a `most`, or add a `[[pack]]`.\n";

#[derive(Debug, Args)]
pub(super) struct Buy {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    copies: Copies,
    /// What is left over afterwards, as a file of supplies for the next album
    #[arg(long, value_name = "FILE")]
    left: Option<PathBuf>,
    /// The file of supplies as it is afterwards: with what you bought, less what you used
    #[arg(long = "use", value_name = "FILE")]
    used: Option<PathBuf>,
    #[command(flatten)]
    reply: Reply,
}

pub(super) fn buy(verb: &Buy) -> Result<u8, Stop> {
    let limits = &verb.reply.time.begin();
    let together = together::read(Typed::default(), "buy", &verb.source, &verb.copies)?;
    let albums = together.joined()?;
    let targets = || {
        verb.left
            .iter()
            .chain(&verb.used)
            .chain(&verb.reply.target.output)
    };
    output::apart(targets().map(PathBuf::as_path))?;
    targets().try_for_each(|path| output::free(path, verb.reply.target.force).map(|_| ()))?;
    let Some((first, ruler)) = albums.first().zip(together.ruler()) else {
        return Err(Stop::Told("an album is missing".to_owned()));
    };
    let supplies = &first.supplies;
    let text = verb
        .used
        .as_ref()
        .map(|_| one_text(&together, supplies))
        .transpose()?;
    let worked = match together.work(limits)? {
        Outcomes::Fit(worked) => worked,
        Outcomes::Not(each, worked) => {
            let to = (verb.reply.json, &verb.reply.target);
            return together::without_sizes(each.from(), &worked, limits, to);
        }
    };
    let needs = needs(
        &together.made(&albums, &worked),
        Vec::new(),
        Trimmer::default(),
    );
    let (any_ring, any_print) = (needs.any_ring, needs.any_print);
    let found = bought(
        &together,
        (supplies, needs),
        (None, ruler),
        (limits, verb.reply.time.seconds),
    );
    let purchase = match found? {
        Some(purchase) => purchase,
        None => {
            Sink::new(&verb.reply.target).write(NOT_ENOUGH)?;
            return Ok(CLASH);
        }
    };
    let title = &together.title();
    let offcuts = &offcuts::left(&purchase.order, &purchase.batches, ruler)[..];
    let (purchase, any) = (&purchase, (any_ring, any_print));
    let after = Afterwards {
        supplies,
        purchase,
        offcuts,
        ruler,
    };
    let shopping = Shopping {
        title,
        supplies,
        purchase,
        any_ring: any.0,
        any_print: any.1,
    };
    let answer = match verb.reply.json {
        true => written(shopping.json(DONE))?,
        false => shopping.text(),
    };
    let left = verb
        .left
        .as_ref()
        .map(|path| (path, after.left_over(title, &together.files)));
    let used = verb
        .used
        .as_ref()
        .zip(text.map(|text| after.taken_off(&text)));
    for (path, text) in left.into_iter().chain(used) {
        match text {
            Some(text) => output::whole(path, text.as_bytes(), verb.reply.target.force)?,
            None => {
                let path = path.display();
                output::to_stderr(&format!(
                    "{path}: not written, for there is nothing to put in it\n"
                ));
            }
        }
    }
    Sink::new(&verb.reply.target).write(&answer)?;
    Ok(DONE)
}

/// The purchase; `None` if the packs are not enough.
pub(super) fn bought(
    together: &Together,
    (supplies, needs): (&Supplies, Needs),
    (stages, ruler): (Option<Stages>, Ruler),
    (limits, seconds): (&Limits, Option<u64>),
) -> Result<Option<Purchase>, Stop> {
    // Half of the time is for the packs, the rest for the plan of their sheets.
    let first = Limits::lasting(limits.left() / 2);
    let mut none = None;
    let found = patiently(limits, seconds, &together.files, |patience| {
        let how = How {
            stages,
            ruler,
            patience,
        };
        match cheapest(supplies, needs, how, &first) {
            Ok(purchase) => Ok(Some(purchase)),
            Err(BuyError::Cut(why)) => Err(why),
            Err(why) => {
                none = Some(why);
                Ok::<_, WorkError>(None)
            }
        }
    })?;
    match none {
        None | Some(BuyError::NotEnough | BuyError::Cut(_)) => Ok(found),
        Some(BuyError::Undecided) => Err(Stop::Undecided(
            "the time was up before any choice of packs was found. Give it more with `--time 600`".to_owned(),
        )),
        Some(BuyError::TooLarge) => Err(Stop::Undecided(
            "these numbers are too large to be added exactly. Look for a slip in a count or a price".to_owned(),
        )),
    }
}

/// The one text in which all supplies stand.
fn one_text(together: &Together, supplies: &Supplies) -> Result<String, Stop> {
    let texts = Afterwards::texts(supplies, &together.files);
    match texts[..] {
        [text] => Ok(text.to_owned()),
        _ => Err(Stop::Told(
            "`--use` writes one file of supplies; these supplies stand in several. `--left` writes what is left over of all".to_owned(),
        )),
    }
}
