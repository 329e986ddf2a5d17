//! Whether photos and designs stand as was asked, looked at again without the code that put them there.

use super::answer::{Arranged, Asked, Dealt, Piece, Placed, Print};
use crate::album::{Leaf, PartPaper};
use crate::cut::pieces::Made;
use crate::supplies::Card;
use num_bigint::BigInt;
use num_rational::Ratio;
use std::collections::{BTreeMap, BTreeSet};
use thiserror::Error;

/// Why an answer is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum Refused {
    #[error("a photo or a place is there twice, or nowhere")]
    Twice,
    #[error("photos are out of order")]
    Order,
    #[error("a photo is not where it was fixed")]
    Fixed,
    #[error("what a photo loses is miscounted")]
    Loss,
    #[error("a piece has no design, or two")]
    Dealt,
    #[error("pieces that match are not alike")]
    Match,
    #[error("designs are miscounted")]
    Count,
}

/// Photos in their places: each once, in order if that counts, as they were fixed, and each loses what is
/// said of it.
///
/// # Errors
/// The first thing that is not so.
pub fn photos(asked: Asked<'_>, cards: &[Card], arranged: &Arranged) -> Result<(), Refused> {
    let held = |holds: bool, why: Refused| holds.then_some(()).ok_or(why);
    let mut photos = BTreeSet::new();
    let mut spots = BTreeSet::new();
    for it in &arranged.placed {
        let new = photos.insert(it.photo) && spots.insert(it.spot);
        held(new && it.spot < asked.spots.len(), Refused::Twice)?;
    }
    for (n, photo) in asked.photos.iter().enumerate() {
        let once = photos.contains(&n) != arranged.left_out.contains(&n);
        held(once == photo.sides.is_ok(), Refused::Twice)?;
    }
    let mut placed: Vec<(usize, usize)> = arranged
        .placed
        .iter()
        .map(|it| (it.spot, it.photo))
        .collect();
    placed.sort_unstable();
    let rises = placed.windows(2).all(|two| two[0].1 < two[1].1);
    held(asked.wanted.free || rises, Refused::Order)?;
    let spot = |photo: usize| {
        let it = arranged.placed.iter().find(|it| it.photo == photo)?;
        asked.spots.get(it.spot)
    };
    for (a, b) in &asked.wanted.facing {
        let two = spot(*a).zip(spot(*b));
        let face = two.is_some_and(|(a, b)| a.opening == b.opening && a.right != b.right);
        held(face, Refused::Fixed)?;
    }
    for stays in &asked.wanted.stays {
        let mut all = arranged.placed.iter();
        held(all.any(|it| (it.photo, it.spot) == *stays), Refused::Fixed)?;
    }
    let mut sum = Ratio::from_integer(BigInt::from(0));
    let mut worst = Ratio::from_integer(0);
    for it in &arranged.placed {
        held(loses(asked, cards, it).unwrap_or(false), Refused::Loss)?;
        sum += Ratio::new(
            BigInt::from(*it.lost.numer()),
            BigInt::from(*it.lost.denom()),
        );
        worst = worst.max(it.lost);
    }
    held(
        (sum, worst) == (arranged.sum.clone(), arranged.worst),
        Refused::Loss,
    )
}

/// Whether a photo loses what is said of it; `None` if it has no size, or its print is not there.
fn loses(asked: Asked<'_>, cards: &[Card], it: &Placed) -> Option<bool> {
    let (a, b) = *asked.photos.get(it.photo)?.sides.as_ref().ok()?;
    let (across, up) = if it.turned { (b, a) } else { (a, b) };
    let spot = asked.spots.get(it.spot)?;
    let place = (spot.width, spot.height);
    let known = asked.wanted.sizes.get(&(it.photo, it.spot));
    let may = it.size == place || known.is_some_and(|all| all.contains(&it.size));
    let nm = |length: crate::length::Length| i128::from(length.nm());
    let (wide, high) = (nm(it.size.0), nm(it.size.1));
    // The shapes across : up and wide : high, by their cross products.
    let (one, other) = (i128::from(across) * high, i128::from(up) * wide);
    let share = Ratio::new(one.min(other), one.max(other));
    let area = Ratio::new(wide * high, nm(place.0) * nm(place.1)).min(Ratio::from_integer(1));
    let whole = Ratio::from_integer(1);
    let made = match &it.print {
        Some(print) => on_print(cards.get(print.print)?, print, (across, up), (wide, high)),
        None => it.seen * it.covered == share && it.seen >= whole - asked.most_cut,
    };
    Some(
        may && made
            && (asked.wanted.turn || !it.turned)
            && it.lost == whole - it.seen * it.covered
            && it.smaller == whole - area
            && it.seen <= whole
            && it.covered <= whole
            && (it.print.as_ref())
                .is_none_or(|p| it.seen * it.covered == p.seen_wide * p.seen_high * p.covered),
    )
}

/// Whether a photo lies on its print as is said, and the print is as large as the place: of the photo, the
/// print and the place, all in the middle, what is in the way of neither is seen.
fn on_print(card: &Card, print: &Print, (across, up): (i64, i64), place: (i128, i128)) -> bool {
    let (width, height) = (card.width.least().nm(), card.height.least().nm());
    let turned = if print.turned {
        (height, width)
    } else {
        (width, height)
    };
    let (print_wide, print_high) = (i128::from(turned.0), i128::from(turned.1));
    let (image_wide, image_high) = print.image;
    let sides = [(image_wide, print_wide), (image_high, print_high)];
    let touches = sides
        .iter()
        .any(|(image, print)| *image == Ratio::from_integer(*print));
    let within = |&(image, print): &(Ratio<i128>, i128)| image <= Ratio::from_integer(print);
    let beyond = |&(image, print): &(Ratio<i128>, i128)| image >= Ratio::from_integer(print);
    let lies = match print.whole {
        true => sides.iter().all(within),
        false => sides.iter().all(beyond),
    };
    let shape = image_wide / image_high == Ratio::new(across.into(), up.into());
    // The place lies within the print, so what is seen ends at the place or at the photo.
    let wide = image_wide.min(Ratio::from_integer(place.0));
    let high = image_high.min(Ratio::from_integer(place.1));
    let shown = (wide / image_wide) * (high / image_high);
    let covers = (wide / Ratio::from_integer(place.0)) * (high / Ratio::from_integer(place.1));
    let large = print_wide >= place.0 && print_high >= place.1;
    large
        && touches
        && lies
        && shape
        && (print.seen_wide * print.seen_high, print.covered) == (shown, covers)
}

/// How many pieces of a name a leaf of an album has in all its copies; no leaf for a part of the album itself.
type Counts<'a> = BTreeMap<(usize, Option<usize>, &'a str), i64>;

/// The pieces that are cut from this paper and no other.
fn needed<'a>(all: &[Made<'a>], paper: usize) -> Counts<'a> {
    let mut needed = Counts::new();
    for (n, made) in all.iter().enumerate() {
        let only = |parts: &[(String, PartPaper)], name: &str| {
            let mut parts = parts.iter();
            let alone = PartPaper::Papers(vec![paper]);
            parts.any(|(part, papers)| part == name && *papers == alone)
        };
        for (at, (leaf, said)) in made.plan.leaves.iter().zip(&made.album.leaves).enumerate() {
            let parts = leaf.parts.iter().filter(|it| only(&said.parts, &it.label));
            let parts = parts.map(|it| (it.label.as_str(), it.count));
            let inserts = leaf.inserts.iter().zip(&said.inserts);
            let inserts = inserts.filter(|(_, said)| said.card.is_none() && said.papers == [paper]);
            let inserts = inserts.map(|(it, _)| (it.name.as_str(), it.count));
            for (name, count) in parts.chain(inserts) {
                *needed.entry((n, Some(at), name)).or_default() += leaf.count * count;
            }
        }
        let own = &made.album.own.parts;
        for part in made.plan.parts.iter().filter(|it| only(own, &it.label)) {
            *needed.entry((n, None, part.label.as_str())).or_default() += part.count;
        }
    }
    needed.retain(|_, count| *count > 0);
    needed
}

/// What gets one design: all that match on one leaf (the place of their group), or a piece alone.
type Thing = (usize, Option<usize>, Option<i64>, Result<usize, usize>);

fn thing(leaf: Option<&Leaf>, n: usize, piece: &Piece) -> Thing {
    let group = leaf.and_then(|leaf| leaf.alike.iter().position(|it| it.contains(&piece.name)));
    let copy = piece.seen.map(|seen| seen.copy);
    (piece.album, piece.leaf_at, copy, group.ok_or(n))
}

/// Designs of one pad: each piece of it has one, pieces that match the same, and the pairs alike and the
/// uses are as they are said to be. Whether the sheets are enough is for the cutting plan.
///
/// # Errors
/// The first thing that is not so.
pub fn designs(all: &[Made<'_>], dealt: &Dealt) -> Result<(), Refused> {
    let deal = match (&dealt.deal, &dealt.beyond) {
        (Ok(deal), _) => deal,
        (Err(_), Some(beyond)) => &beyond.deal,
        (Err(_), None) => return Ok(()),
    };
    let mut counted = Counts::new();
    for piece in &dealt.pieces {
        let key = (piece.album, piece.leaf_at, piece.name.as_str());
        *counted.entry(key).or_default() += 1;
    }
    let papers = all.first().map(|made| &made.album.supplies.papers);
    let many = papers.and_then(|papers| Some(papers.get(dealt.paper)?.designs.len()));
    let known = |piece: &Piece| dealt.design(piece).is_some_and(|it| Some(it) < many);
    if counted != needed(all, dealt.paper) || !dealt.pieces.iter().all(known) {
        return Err(Refused::Dealt);
    }
    let leaf = |piece: &Piece| all.get(piece.album)?.album.leaves.get(piece.leaf_at?);
    let pieces = dealt.pieces.iter().enumerate();
    let pieces = pieces.map(|(n, piece)| (thing(leaf(piece), n, piece), piece));
    let pieces: Vec<(Thing, &Piece)> = pieces.collect();
    let mut designs = BTreeMap::new();
    for (thing, piece) in &pieces {
        let design = dealt.design(piece);
        if *designs.entry(thing).or_insert(design) != design {
            return Err(Refused::Match);
        }
    }
    let near = |a: &Piece, b: &Piece| {
        let apart = leaf(a).zip(leaf(b)).map(|(a, b)| a.apart.max(b.apart));
        let between = a.seen.zip(b.seen);
        let between = between.map(|(a, b)| (a.opening - b.opening).abs());
        a.album == b.album && between.zip(apart).is_some_and(|(it, apart)| it <= apart)
    };
    let mut alike = BTreeSet::new();
    for (n, (one, a)) in pieces.iter().enumerate() {
        for (other, b) in &pieces[..n] {
            if near(a, b) && one != other && dealt.design(a) == dealt.design(b) {
                alike.insert((one.min(other), one.max(other)));
            }
        }
    }
    let uses = |it: usize| designs.values().filter(|d| **d == Some(it)).count();
    let uses: Vec<usize> = (0..many.unwrap_or(0)).map(uses).collect();
    let (most, least) = (uses.iter().max().copied(), uses.iter().min().copied());
    match (deal.alike, Some(deal.most), Some(deal.least)) == (alike.len(), most, least) {
        true => Ok(()),
        false => Err(Refused::Count),
    }
}

/// The most that a sheet is worth in pieces of these sizes and values, cut by straight cuts from edge to edge
/// (Gilmore and Gomory 1966), counted from below at all sums of sides. `None` if there are too many.
fn worth(sheet: (i64, i64), kinds: &[((i64, i64), u64)], turn: bool) -> Option<u64> {
    let turned = kinds
        .iter()
        .filter(|_| turn)
        .map(|((w, h), value)| ((*h, *w), *value));
    let kinds: Vec<((i64, i64), u64)> = kinds.iter().copied().chain(turned).collect();
    let ends = |side: &dyn Fn(&(i64, i64)) -> i64, most: i64| {
        let mut ends = BTreeSet::from([0]);
        let mut open = vec![0];
        while let Some(from) = open.pop() {
            let next = kinds.iter().map(|(size, _)| from + side(size));
            open.extend(
                next.filter(|end| *end > from && *end <= most)
                    .filter(|end| ends.insert(*end))
                    .collect::<Vec<_>>(),
            );
            if ends.len() > 300 {
                return None;
            }
        }
        Some(ends.into_iter().collect::<Vec<i64>>())
    };
    let (across, up) = (ends(&|it| it.0, sheet.0)?, ends(&|it| it.1, sheet.1)?);
    let at = |all: &[i64], side: i64| all.partition_point(|end| *end <= side) - 1;
    let mut best = vec![vec![0_u64; up.len()]; across.len()];
    for (x, wide) in across.iter().enumerate() {
        for (y, high) in up.iter().enumerate() {
            let fits = kinds.iter().filter(|((w, h), _)| w <= wide && h <= high);
            let mut most = fits.map(|(_, value)| *value).max().unwrap_or(0);
            for cut in 1..x {
                most = most.max(best[cut][y] + best[at(&across, wide - across[cut])][y]);
            }
            for cut in 1..y {
                most = most.max(best[x][cut] + best[x][at(&up, high - up[cut])]);
            }
            best[x][y] = most;
        }
    }
    Some(*best.last()?.last()?)
}

/// Whether, with these values of the kinds of a pad, all its sheets together are worth less than what is
/// needed: then they are not enough.
pub fn too_few(all: &[Made<'_>], dealt: &Dealt, weights: &[u32]) -> bool {
    let papers = all.first().map(|made| &made.album.supplies.papers);
    let Some(paper) = papers.and_then(|papers| papers.get(dealt.paper)) else {
        return false;
    };
    let sides = |(w, h): &(crate::length::Length, crate::length::Length)| (w.nm(), h.nm());
    let kinds = dealt
        .kinds
        .iter()
        .zip(weights)
        .map(|(size, value)| (sides(size), u64::from(*value)));
    let kinds: Vec<((i64, i64), u64)> = kinds.collect();
    let needed = dealt.pieces.iter().map(|piece| {
        let value = kinds.iter().find(|(size, _)| *size == sides(&piece.size()));
        value.map_or(0, |(_, value)| *value) * all.get(piece.album).map_or(0, |made| made.sets)
    });
    let needed: u64 = needed.sum();
    let supplies = all.first().map(|made| &made.album.supplies);
    let offcuts = supplies.map_or(&[][..], |supplies| &supplies.offcuts);
    let of = |at: usize| supplies?.papers.get(at)?.design_of;
    let value = |size: (i64, i64), count: i64| {
        let each = worth(size, &kinds, !paper.directed)?;
        u64::try_from(count).ok()?.checked_mul(each)
    };
    let each = paper.designs.iter().enumerate().map(|(n, design)| {
        let sheets = design.sheets.or(paper.sheets)?;
        let mut most = value(
            (paper.width.least().nm(), paper.height.least().nm()),
            sheets,
        )?;
        let design = Some((dealt.paper, n));
        for it in offcuts.iter().filter(|it| it.paper.and_then(of) == design) {
            let size = (it.width.least().nm(), it.height.least().nm());
            most = most.checked_add(value(size, it.count)?)?;
        }
        Some(most.min(needed))
    });
    let most: Option<u64> = each.sum();
    most.is_some_and(|most| most < needed)
}
