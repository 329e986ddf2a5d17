//! How a template is used, in words beside it; what else has room stands below.

use super::super::list::{Area, Page};
use super::super::paper::{self, MM};
use super::super::pieces::{Hole, holes, short_edge};
use super::super::strips;
use super::{Template, pierced};
use crate::plan::frames::{Edge, FramePlan};
use crate::report::handout::Block;
use crate::report::handout::said as words;

impl Template<'_> {
    /// How the template is used, beside it, with the bars, and below that what else has room.
    pub(super) fn advice(
        &self,
        page: &mut Page,
        joined: bool,
        [beside, other]: [Area; 2],
        (steps, more): (&mut Vec<Vec<Block>>, &mut Vec<Page>),
    ) {
        let first = self.group[0];
        let beside = paper::true_bars(page, beside);
        let mut lines = vec![
            "Print this page at 100 %, not fitted to the page: both bars must agree with your own ruler. Dashed edges do not matter."
                .to_owned(),
        ];
        if joined {
            lines.push(
                "This template is longer than the page. Cut one part along its long-dashed line, lay that line on its twin on the next part, crosses on crosses, and tape them."
                    .to_owned(),
            );
        }
        let mut blocks = vec![Block::Heading(page.title.clone())];
        blocks.extend(lines.into_iter().map(Block::Text));
        let mut y = put(page, beside, beside.top, &blocks);
        let all: i64 = steps
            .iter()
            .map(|it| strips::height(it, beside.width()))
            .sum();
        let fits = !steps.is_empty() && y + all <= beside.bottom;
        if fits {
            for step in std::mem::take(steps) {
                y = put(page, beside, y, &step);
            }
        } else {
            // No step says it.
            let told = self.told(first).into_iter().map(Block::Text);
            y = put(page, beside, y, &told.collect::<Vec<_>>());
        }
        let room = Area {
            top: y + 2 * MM,
            ..beside
        };
        if !more.is_empty()
            && let Some(places) =
                packed(more, [room, other]).or_else(|| packed(more, [other, room]))
        {
            for (figure, (x, y)) in std::mem::take(more).iter().zip(places) {
                page.put_figure(figure, x, y);
            }
        }
    }

    /// How it is made and laid.
    fn told(&self, first: &FramePlan) -> Vec<String> {
        let ruler = self.plan.ruler;
        let mut lines = Vec::new();
        let mut told: Vec<&str> = Vec::new();
        for (Hole { mark, .. }, _, diameter) in holes(first) {
            if told.contains(&mark.name.as_str()) {
                continue;
            }
            told.push(&mark.name);
            let count = pierced(first).iter().filter(|it| it.0 == mark.name).count();
            let [one, several] = &mark.titles;
            let count = match count {
                1 => format!("1 {one}"),
                n => format!("{n} {several}"),
            };
            let diameter = words::length(ruler, diameter);
            let off = self.off_edge(Some(&mark.name));
            let off = off.into_iter().map(|it| words::length(ruler, it));
            let off = off.collect::<Vec<_>>();
            lines.push(match off[..] {
                [] => format!(
                    "{count} of {diameter}, centres on the {}.",
                    self.where_laid()
                ),
                _ => format!(
                    "{count} of {diameter}, centres {} from the {}.",
                    words::lengths(&off),
                    self.where_laid()
                ),
            });
        }
        let tail = short_edge(first, Edge::Low);
        let of = words::capital(self.titles()[1]);
        lines.push(match self.at {
            Some(_) => format!(
                "Glue it on stiff card. Cut {} and {tail} on the middle of their lines. Punch its {}, each centred on its cross. Write which side is up on its back, too.",
                self.where_laid(),
                self.titles()[1]
            ),
            None => format!(
                "Glue it on stiff card, cut {tail} on the middle of its line, and fold it along the dashed line. {of} are pierced on the {}, each centred on its cross.",
                self.where_laid()
            ),
        });
        let mut marks = first.marks.iter().filter(|mark| mark.diameter.is_some());
        lines.extend(marks.find_map(|mark| mark.lay.clone()));
        lines
    }
}

/// Sets as many blocks as there is room for; tells where they end.
fn put(page: &mut Page, within: Area, top: i64, blocks: &[Block]) -> i64 {
    let mut y = top;
    for block in blocks {
        let set = strips::column(std::slice::from_ref(block), within.width());
        if y + set.height.nm() <= within.bottom {
            page.put(&set, within.left, y);
            y += set.height.nm();
        }
    }
    y
}

/// Where drawings come to lie in rows, each in the first of some rooms that holds it; `None` if one has
/// no room.
fn packed(figures: &[Page], rooms: [Area; 2]) -> Option<Vec<(i64, i64)>> {
    // Of each room where the next drawing lies, and how high its row is.
    let mut next = rooms.map(|room| (room.left, room.top, 0));
    let place = |figure: &Page| {
        let (wide, tall) = (figure.width.nm(), figure.height.nm());
        let mut each = rooms.iter().zip(&mut next);
        each.find_map(|(room, next)| {
            let (mut x, mut y, mut high) = *next;
            if x > room.left && x + wide > room.right {
                (x, y, high) = (room.left, y + high + 2 * MM, 0);
            }
            (x + wide <= room.right && y + tall <= room.bottom).then(|| {
                *next = (x + wide + 3 * MM, y, high.max(tall));
                (x, y)
            })
        })
    };
    figures.iter().map(place).collect()
}
