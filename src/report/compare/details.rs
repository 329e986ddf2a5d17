//! What single bags give: photo and print, what is tucked in, the ring, sheets, packs.

use super::measures;
use crate::compare::rank::Ranked;
use crate::compare::{Comparison, Fit, Nominal, Offer, Photo, Sheets};
use crate::length::{Length, Ruler};
use crate::report::From;
use crate::report::fit::Detail;
use crate::report::leaf::trims;
use crate::report::phrase;
use crate::report::words::{capital, count, headed, listed, plain, size, wrapped};

/// The most bags with more than their line of the table.
const TOLD: usize = 3;

pub(super) fn text(from: From<'_>, compared: &Comparison, detail: Detail) -> String {
    let told = |n: usize, r: &Ranked| detail == Detail::All || n < TOLD || r.unbeaten;
    let ranked = compared.ranked.iter().enumerate();
    let ranked: Vec<&Ranked> = ranked
        .filter(|(n, r)| told(*n, r))
        .map(|(_, r)| r)
        .collect();
    let most = match detail {
        Detail::All => ranked.len(),
        Detail::First => 2 * TOLD,
    };
    let mut text = headed("What they give");
    for ranked in ranked.iter().take(most) {
        text.push_str(&one(from, &ranked.offer));
    }
    if most < compared.ranked.len() && detail == Detail::First {
        text.push_str("  The others: `--all`.\n");
    }
    text
}

/// One bag that fits.
fn one(from: From<'_>, offer: &Offer) -> String {
    let ruler = from.ruler;
    let Some(fit) = offer.fit() else {
        return String::new();
    };
    let head = format!("{}, {}", offer.bag.name, measures(ruler, &offer.bag));
    let mut text = wrapped(&head, "  ", "    ");
    let mut line = |said: &str| text.push_str(&wrapped(said, "    ", "      "));
    if let Some(photo) = &fit.photo {
        let print = match &photo.print {
            Some(print) => format!(" {}", phrase::screen(ruler, &trims(print))),
            None => String::new(),
        };
        let photo = size(ruler, photo.width, photo.height);
        line(&format!("Photo {photo}.{print}"));
    }
    if let Some(said) = tolerance(ruler, fit) {
        line(&said);
    }
    if !fit.inserts.is_empty() {
        line(&format!("{}.", capital(&inserts(from, fit))));
    }
    if let Some(ring) = &fit.ring {
        let said = match &ring.takes[..] {
            [(_, on)] => count(*on, "such leaf", "such leaves"),
            several => {
                let each = several.iter().map(|(leaf, on)| format!("{on} of {leaf}"));
                let each: Vec<String> = each.collect();
                format!("{}, of each kind alone", listed(&each))
            }
        };
        line(&format!("The {} takes {said}.", ring.name));
    }
    if let Some(said) = sheets(&fit.paper) {
        line(&said);
    }
    if let Some(said) = bought(offer) {
        line(&said);
    }
    text
}

fn inserts(from: From<'_>, fit: &Fit) -> String {
    let said = fit.inserts.iter().map(|insert| {
        let leaf = from.in_leaf(&insert.leaf);
        let many = match insert.count {
            1 => String::new(),
            n => format!("{n} of "),
        };
        let size = size(from.ruler, insert.width, insert.height);
        format!("{}{leaf} {many}{size}", plain(&insert.name))
    });
    said.collect::<Vec<_>>().join("; ")
}

/// What ± costs.
fn tolerance(ruler: Ruler, fit: &Fit) -> Option<String> {
    let photo = fit.photo.as_ref()?;
    let nominal = fit.nominal?;
    Some(match costs(photo, nominal)? {
        (Length::ZERO, Length::ZERO) => {
            "Holds for every bag of the pack; the ± costs the photo nothing.".to_owned()
        }
        (width, height) => {
            let side = |by: Length, side: &str| match by.nm() {
                0 => None,
                nm if nm < 0 => Some(format!(
                    "makes it {} {side}",
                    ruler.show(Length::from_nm(-nm))
                )),
                _ => Some(format!("costs it {} {side}", ruler.show(by))),
            };
            let both = [side(width, "of width"), side(height, "of height")];
            let both: Vec<String> = both.into_iter().flatten().collect();
            format!("Holds for every bag of the pack; the ± {}.", listed(&both))
        }
    })
}

/// Width and height by which the photo would be larger if the bag were known exactly.
pub fn costs(photo: &Photo, nominal: Nominal) -> Option<(Length, Length)> {
    let Nominal::Photo(width, height) = nominal else {
        return None;
    };
    Some((
        width.checked_sub(photo.width.least())?,
        height.checked_sub(photo.height.least())?,
    ))
}

/// The sheets that the area of the pieces asks for.
fn sheets(paper: &[Sheets]) -> Option<String> {
    let named = paper.iter().filter_map(|sheets| {
        let (name, least) = (sheets.papers.join(" or "), sheets.at_least?);
        let have = match sheets.at_hand {
            Some(have) if have < least => format!(" ({have} at hand)"),
            _ => String::new(),
        };
        Some(format!("{least} of {name}{have}"))
    });
    let named: Vec<String> = named.collect();
    (!named.is_empty()).then(|| {
        format!(
            "Sheets for the whole album, at least, by area alone: {}.",
            listed(&named)
        )
    })
}

/// Packs and price.
fn bought(offer: &Offer) -> Option<String> {
    let price = offer.cost.price?;
    let bags = count(offer.cost.bags, "bag", "bags");
    let packs = match offer.bag.pack {
        None => "sold singly".to_owned(),
        Some(pack) => format!("{} of {pack}", count(offer.cost.packs, "pack", "packs")),
    };
    Some(format!("{}: {packs}, {}.", capital(&bags), price))
}
