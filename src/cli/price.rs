//! `price`: what an album costs and what to ask for it, what it weighs, which parcel takes it.

use super::together;
use super::typed::Typed;
use super::{DONE, Input, Reply, Sink, Source, Stop, from, usage};
use crate::album::price::Wish;
use crate::arrange::pads;
use crate::cut::pieces::Made;
use crate::cut::{Order, Trimmer};
use crate::plan::Plan;
use crate::price::cost::Copies;
use crate::price::time;
use crate::price::work::{Unpriced, prices};
use crate::report::{self, price::Answer};
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct Price {
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    copies: together::Copies,
    /// What is to be left, as a share of the price, such as "40 %"
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true, conflicts_with_all = ["markup", "tried"])]
    margin: Option<String>,
    /// What is to be left, as a share of the costs, such as "60 %"
    #[arg(
        long,
        value_name = "SHARE",
        allow_hyphen_values = true,
        conflicts_with = "tried"
    )]
    markup: Option<String>,
    /// A price to test, such as 25.00
    #[arg(long = "try", value_name = "PRICE", allow_hyphen_values = true)]
    tried: Option<String>,
    #[command(flatten)]
    reply: Reply,
}

pub(super) fn price(verb: &Price) -> Result<u8, Stop> {
    let limits = verb.reply.time.begin();
    let mut typed = Typed::default();
    let asked = wish(&mut typed, verb);
    let mut together = together::read(typed, "price", &verb.source, &verb.copies)?;
    if let Some(asked) = asked {
        for each in &mut together.albums {
            let price = &mut each.input.album.price;
            price.meant = price.wish.replace(asked);
            if let Some([sum, below]) = each.input.album.price.leaves_nothing() {
                let message = format!(
                    "the album's fees and this margin come to {sum} of the price: no price leaves that. Type a margin below {below}; a share of what it costs you is `--markup`"
                );
                return Err(usage("price", &message));
            }
        }
    }
    let sink = Sink::new(&verb.reply.target);
    sink.ready()?;
    let albums = together.joined()?;
    let worked = together.work(&limits, (verb.reply.json, &verb.reply.target))?;
    let made = together.made(&albums, &worked);
    let pads = pads::pads(&made, &|| limits.is_over());
    let order = pads::order(&made, Vec::new(), Trimmer::default(), &pads);
    let copies = together.albums.iter().map(|each| Copies {
        sold: each.copies,
        made: each.sets(),
    });
    let all: Vec<(Made<'_>, Copies)> = made.iter().copied().zip(copies).collect();
    let seconds = verb.reply.time.seconds;
    let ruler = together.ruler()?;
    let cut = |order: &Order| {
        super::wait::patiently(&limits, seconds, &together.files, |patience| {
            crate::cut::work::work(order, None, ruler, patience)
        })
    };
    let priced = prices(&all, &order, cut).map_err(|why| match why {
        Unpriced::TooLarge => too_large(),
        Unpriced::Steps(errors) => super::faults(&together.files, errors),
        Unpriced::Cut(stop) => stop,
    })?;
    let answers = made.iter().zip(&priced);
    let answers: Vec<Answer<'_>> = answers
        .map(|(made, priced)| Answer {
            album: made.album,
            plan: made.plan,
            priced,
        })
        .collect();
    let text = match verb.reply.json {
        true => {
            let from = together
                .albums
                .iter()
                .map(|each| from(each.from().0, each.from().1));
            let all: Vec<_> = from.zip(answers).collect();
            report::json::price::price(&all, DONE)
        }
        false => report::price::text(&answers),
    };
    sink.write(&text)?;
    Ok(DONE)
}

pub(super) fn too_large() -> Stop {
    let message = "some numbers are too large to be multiplied exactly; look for a slip in a price, a measure or a weight";
    Stop::Undecided(message.to_owned())
}

/// What the options wish for, read like the same keys of an album.
fn wish(typed: &mut Typed, verb: &Price) -> Option<Wish> {
    let options = [
        ("--margin", &verb.margin),
        ("--markup", &verb.markup),
        ("--try", &verb.tried),
    ];
    let (option, text) = options
        .into_iter()
        .find_map(|(option, text)| Some((option, text.as_ref()?)))?;
    let said = typed.said(option, text);
    Wish::read(option, &said, &typed.faults)
}

/// The steps of the work with their times.
pub(super) fn steps(input: &Input, plan: &Plan) -> Result<Vec<time::Timed>, Stop> {
    time::steps(&input.album, plan).map_err(|errors| super::faults(&input.files, errors))
}
