//! What a plan asks to be cut, by the papers that the album names.

use super::{Order, Paper, Sheets, Trimmer, Want};
use crate::album::{Album, PartPaper};
use crate::length::Length;
use crate::plan::leaf::PartPlan;
use crate::plan::{Plan, SizePlan};
use crate::supplies::Supplies;
use crate::text::Place;

/// Every mat, band and insert, and every part of the album itself, that is not bought ready-made, as often as the album needs it. What has
/// no named paper is cut from `sheets` where some are given, or else told apart.
pub fn order(plan: &Plan, album: &Album, sheets: Vec<Sheets>, trimmer: Trimmer) -> Order {
    together(&[Made::once(plan, album)], sheets, trimmer)
}

/// An album that is made a number of times, beside others from the same supplies.
#[derive(Clone, Copy, Debug)]
pub struct Made<'a> {
    pub plan: &'a Plan,
    /// With the supplies of all albums, see [`Album::with_supplies`].
    pub album: &'a Album,
    /// Copies, spare ones included; at least 1.
    pub sets: u64,
}

impl<'a> Made<'a> {
    pub fn once(plan: &'a Plan, album: &'a Album) -> Made<'a> {
        Made::of(plan, album, 1)
    }

    /// So many copies of it.
    pub fn of(plan: &'a Plan, album: &'a Album, sets: u64) -> Made<'a> {
        Made { plan, album, sets }
    }
}

/// The same for several albums, all their copies together. Of several albums each piece is for a leaf
/// that has the album's title in front.
pub fn together(all: &[Made<'_>], sheets: Vec<Sheets>, trimmer: Trimmer) -> Order {
    dealt(all, sheets, trimmer, &|_, _, _| Vec::new())
}

/// Papers and how many pieces of one album are cut from each, of an album, a leaf (`None` for the album
/// itself) and the name of a piece; empty if any of its papers will do for each.
pub type Shares<'s> = dyn Fn(usize, Option<usize>, &str) -> Vec<(usize, u64)> + 's;

/// The same with some pieces shared out over papers.
pub fn dealt(
    all: &[Made<'_>],
    sheets: Vec<Sheets>,
    trimmer: Trimmer,
    shares: &Shares<'_>,
) -> Order {
    let nothing = Supplies::default();
    let supplies = all.first().map_or(&nothing, |made| &made.album.supplies);
    let mut order = Order {
        papers: Vec::new(),
        wants: Vec::new(),
        any_paper: Vec::new(),
        from_left: Vec::new(),
        trimmer,
    };
    let mut used = Used {
        supplies,
        places: Vec::new(),
    };
    for (n, made) in all.iter().enumerate() {
        let before = [&order.wants, &order.any_paper, &order.from_left].map(Vec::len);
        put_all(&mut used, &mut order, (n, made), shares);
        let wants = order.wants.iter_mut().skip(before[0]);
        let any = order.any_paper.iter_mut().skip(before[1]);
        let left = order.from_left.iter_mut().skip(before[2]);
        for want in wants.chain(any).chain(left) {
            want.album = n;
            want.count = want.count.saturating_mul(made.sets);
            want.most_alike = want.most_alike.map(|n| n.saturating_mul(made.sets));
            if all.len() > 1 {
                let leaf = format!("{} {}", made.plan.title, want.leaf);
                want.leaf = leaf.trim_end().to_owned();
            }
        }
    }
    if !sheets.is_empty() && !order.any_paper.is_empty() {
        let at = order.papers.len();
        order.papers.push(Paper {
            name: String::new(),
            directed: false,
            sheets: sheets.into_iter().chain(used.offcuts(None)).collect(),
        });
        for mut want in std::mem::take(&mut order.any_paper) {
            want.papers = vec![at];
            order.wants.push(want);
        }
    } else {
        used.spare(&mut order, None);
    }
    for at in 0..supplies.papers.len() {
        if !used.places.contains(&at) {
            used.spare(&mut order, Some(at));
        }
    }
    order
}

/// The pieces of one album.
fn put_all(
    used: &mut Used<'_>,
    order: &mut Order,
    (nth, Made { plan, album, .. }): (usize, &Made<'_>),
    shares: &Shares<'_>,
) {
    for (n, (leaf, said)) in plan.leaves.iter().zip(&album.leaves).enumerate() {
        let named = |name: &str| match plan.leaves.len() {
            1 => (name.replace('_', " "), String::new()),
            _ => (name.replace('_', " "), leaf.name.clone()),
        };
        for part in &leaf.parts {
            let (name, of) = named(&part.label);
            let papers = part_papers(&said.parts, &part.label);
            let most = said.most_alike.iter().find(|(p, _)| *p == part.label);
            let want = of_part(leaf.count, said.place, part, most.map(|(_, n)| *n));
            let want = Want {
                name,
                leaf: of,
                ..want
            };
            used.share(order, want, papers, shares(nth, Some(n), &part.label));
        }
        for (insert, said_insert) in leaf.inserts.iter().zip(&said.inserts) {
            let (name, of) = named(&insert.name);
            let (place, count) = (said_insert.place, (leaf.count, insert.count));
            let want = |name: &str, size, most, loose| Want {
                name: name.to_owned(),
                leaf: of.clone(),
                ..want(place, size, count, most, loose)
            };
            if said_insert.card.is_none() {
                let (size, most) = ((&insert.width, &insert.height), said_insert.most_alike);
                let shares = shares(nth, Some(n), &insert.name);
                let want = want(&name, size, most, true);
                used.share(order, want, &said_insert.papers, shares);
            }
            // A tab is cut from what is left of its card's paper.
            if let Some(tab) = &insert.tab {
                let want = want(&tab.of(&name), (&tab.width, &tab.height), None, false);
                let papers = used.known(&said_insert.papers);
                order.from_left.push(Want { papers, ..want });
            }
        }
    }
    for part in &plan.parts {
        let papers = part_papers(&album.own.parts, &part.label);
        let want = Want {
            name: part.label.replace('_', " "),
            ..of_part(1, album.style.place, part, None)
        };
        used.share(order, want, papers, shares(nth, None, &part.label));
    }
}

fn part_papers<'l>(parts: &'l [(String, PartPaper)], label: &str) -> &'l [usize] {
    let said = parts.iter().find(|(name, _)| name == label);
    match said {
        Some((_, PartPaper::Papers(papers))) => papers,
        _ => &[],
    }
}

/// A want of so many pieces for each of so many leaves, as yet without its name and its papers.
fn want(
    place: Place,
    (width, height): (&SizePlan, &SizePlan),
    (leaves, count): (i64, i64),
    most_alike: Option<i64>,
    loose: bool,
) -> Want {
    Want {
        name: String::new(),
        leaf: String::new(),
        place,
        album: 0,
        width: width.value.most(),
        height: height.value.most(),
        count: whole(leaves.saturating_mul(count)),
        turn: true,
        value: None,
        papers: Vec::new(),
        most_alike: most_alike.map(whole),
        loose,
        twice_off: 0,
    }
}

fn of_part(leaves: i64, place: Place, part: &PartPlan, most_alike: Option<i64>) -> Want {
    let (size, count) = ((&part.width, &part.height), (leaves, part.count));
    Want {
        twice_off: part.twice_off,
        ..want(place, size, count, most_alike, !part.flat)
    }
}

fn whole(count: i64) -> u64 {
    u64::try_from(count).unwrap_or(0)
}

/// Papers of the supplies that something is cut from, in the order in which they are met.
struct Used<'s> {
    supplies: &'s Supplies,
    /// For each paper of the order its place in the supplies.
    places: Vec<usize>,
}

impl Used<'_> {
    /// A want of which each paper gives its share, if there are shares of all of it.
    fn share(
        &mut self,
        order: &mut Order,
        want: Want,
        papers: &[usize],
        shares: Vec<(usize, u64)>,
    ) {
        if shares.iter().map(|(_, count)| count).sum::<u64>() != want.count {
            self.put(order, want, papers);
            return;
        }
        for (paper, count) in shares {
            let want = want.clone();
            self.put(order, Want { count, ..want }, &[paper]);
        }
    }

    /// The places in the order of those papers that something is cut from.
    fn known(&self, papers: &[usize]) -> Vec<usize> {
        let place = |at: &usize| self.places.iter().position(|it| it == at);
        papers.iter().filter_map(place).collect()
    }

    fn put(&mut self, order: &mut Order, mut want: Want, papers: &[usize]) {
        let supplies = self.supplies;
        let each = |at: &usize| {
            let designs: Vec<usize> = supplies.designs_of(*at).collect();
            match designs.is_empty() {
                true => vec![*at],
                false => designs,
            }
        };
        for at in papers.iter().flat_map(each) {
            let known = self.places.iter().position(|p| *p == at);
            let paper = known.or_else(|| {
                let paper = self.paper(at)?;
                order.papers.push(paper);
                self.places.push(at);
                Some(self.places.len() - 1)
            });
            want.papers.extend(paper);
        }
        match want.papers.is_empty() {
            true => order.any_paper.push(want),
            false => order.wants.push(want),
        }
    }

    fn paper(&self, at: usize) -> Option<Paper> {
        let paper = self.supplies.papers.get(at)?;
        let whole = Sheets {
            width: paper.width.least(),
            height: paper.height.least(),
            count: paper.all_sheets().map(whole),
            offcut: false,
            place: paper.place,
        };
        Some(Paper {
            name: paper.name.clone(),
            directed: paper.directed,
            sheets: std::iter::once(whole)
                .chain(self.offcuts(Some(at)))
                .collect(),
        })
    }

    /// Offcuts of a paper that nothing is cut from: they are still there afterwards.
    fn spare(&self, order: &mut Order, at: Option<usize>) {
        let sheets = self.offcuts(at);
        let paper = at.and_then(|at| self.supplies.papers.get(at));
        if !sheets.is_empty() {
            order.papers.push(Paper {
                name: paper.map_or(String::new(), |p| p.name.clone()),
                directed: paper.is_some_and(|p| p.directed),
                sheets,
            });
        }
    }

    /// Offcuts of a paper, or of none that is named.
    fn offcuts(&self, paper: Option<usize>) -> Vec<Sheets> {
        let of = self.supplies.offcuts.iter();
        let of = of.filter(|o| o.paper == paper && o.count > 0);
        let sheets = of.map(|o| Sheets {
            width: o.width.least(),
            height: o.height.least(),
            count: Some(whole(o.count)),
            offcut: true,
            place: o.place,
        });
        sheets
            .filter(|s| s.width > Length::ZERO && s.height > Length::ZERO)
            .collect()
    }
}
