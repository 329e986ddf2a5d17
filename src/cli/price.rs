//! `price`: what an album costs and what to ask for it, what it weighs, which parcel takes it.

use super::typed::Typed;
use super::{
    Input, Reply, Source, Stop, answer, explained, from, input, mistyped, usage, work, written,
};
use crate::album::price::Wish;
use crate::cut::Order;
use crate::plan::{Listed, Plan};
use crate::price::cost::Copies;
use crate::price::time;
use crate::price::work::{Unpriced, price as price_of};
use crate::report::{self, fit::Detail};
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct Price {
    #[command(flatten)]
    source: Source,
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
    /// How many you make together: their sheets and packs are shared out over them [default: 1]
    #[arg(long, value_name = "N", value_parser = mistyped::whole::<u64>(1..=1_000))]
    copies: Option<u64>,
    /// How many more, in case something goes wrong; the others pay for them [default: 0]
    #[arg(long, value_name = "N", value_parser = mistyped::whole::<u64>(0..=1_000))]
    spare: Option<u64>,
    #[command(flatten)]
    reply: Reply,
}

pub(super) fn price(verb: &Price) -> Result<u8, Stop> {
    let limits = verb.reply.time.begin();
    let mut typed = Typed::default();
    let asked = wish(&mut typed, verb);
    let mut input = input::read_beside(typed, "price", &verb.source)?;
    if let Some(asked) = asked {
        input.album.price.wish = Some(asked);
        if input.album.price.leaves_nothing() {
            let message = "the album's fees and this margin leave nothing of a price, so no price keeps them. Type a smaller margin";
            return Err(usage("price", message));
        }
    }
    let sink = super::Sink::new(&verb.reply.target);
    sink.ready()?;
    let worked = work(&input, Listed::NotKept, &limits)?;
    let explanation = explained(&input, &worked, &limits);
    let (answer, code) = answer(&worked.outcome, explanation.as_ref())?;
    let from = from(&input, &verb.source);
    let report::Answer::Fits(plan) = answer else {
        // What does not fit weighs nothing yet: the answer is that of `fit`.
        let text = match verb.reply.json {
            true => written(report::json::fit(from, answer, code))?,
            false => report::fit::text(from, answer, Detail::First),
        };
        sink.write(&text)?;
        return Ok(code);
    };
    let album = &input.album;
    let sold = verb.copies.unwrap_or(1);
    let made = sold.saturating_add(verb.spare.unwrap_or(0));
    let cut = |order: &Order| {
        super::wait::patiently(&limits, verb.reply.time.seconds, &input.files, |patience| {
            crate::cut::work::work(order, None, album.ruler, patience)
        })
    };
    let priced = price_of(album, plan, Copies { sold, made }, cut);
    let priced = priced.map_err(|why| match why {
        Unpriced::TooLarge => too_large(),
        Unpriced::Steps(errors) => untimed(&input, errors),
        Unpriced::Cut(stop) => stop,
    })?;
    let priced = report::price::of(album, plan, &priced);
    let text = match verb.reply.json {
        true => written(report::json::price::price(from, priced, code))?,
        false => report::price::text(priced),
    };
    sink.write(&text)?;
    Ok(code)
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
    Wish::read(option, &said, &mut typed.faults)
}

/// The steps of the work with their times.
pub(super) fn steps(input: &Input, plan: &Plan) -> Result<Vec<time::Timed>, Stop> {
    time::steps(&input.album, plan).map_err(|errors| untimed(input, errors))
}

fn untimed(input: &Input, errors: Vec<time::TimeError>) -> Stop {
    let faults = errors.into_iter().map(|e| Box::new(e) as _).collect();
    Stop::Faults(Box::new(input.files.clone()), faults)
}
