//! If no bag gives what is asked for: the nearest of those that fit, and what each lacks.

use super::{measures, size};
use crate::compare::Comparison;
use crate::compare::rank::{AtLeast, Lack, Least};
use crate::length::{Length, Ruler};
use crate::report::From;
use crate::report::words::{capital, headed, listed, plain, wrapped};

pub(super) fn text(from: From<'_>, compared: &Comparison) -> String {
    if compared.less.is_empty() {
        return String::new();
    }
    let mut text = headed("What gives less, nearest first");
    for offer in &compared.less {
        let head = format!("{}, {}", offer.bag.name, measures(from.ruler, &offer.bag));
        text.push_str(&wrapped(&head, "  ", "    "));
        for least in &compared.at_least {
            let lack = offer.fit().and_then(|fit| least.lack(fit));
            if let Some(said) = lack.map(|lack| lacks(from.ruler, least, lack)) {
                text.push_str(&wrapped(&capital(&said), "    ", "      "));
            }
        }
    }
    text
}

fn lacks(ruler: Ruler, least: &AtLeast, lack: Lack) -> String {
    let thing = match &least.least {
        Least::Photo(..) => "photo".to_owned(),
        Least::Insert(name, ..) => plain(name),
        Least::Leaves(_) => "ring".to_owned(),
    };
    match lack {
        Lack::Nothing => format!("no {thing}."),
        Lack::Leaves { on, few } => format!("{on} on a ring: {few} too few."),
        Lack::Sides {
            width,
            height,
            narrow,
            low,
        } => {
            let off = [(narrow, "narrow"), (low, "low")].into_iter();
            let off = off.filter(|(by, _)| *by > Length::ZERO);
            let off = off.map(|(by, side)| format!("{} too {side}", ruler.show(by)));
            let off = listed(&off.collect::<Vec<_>>());
            format!("{thing} {}: {off}.", size(ruler, width, height))
        }
    }
}
