//! What things are taken hold of by, drawn on a side of a frame. `view` prints it, the page shows it.

use super::figure::Projection;
use super::list::{Line, Page, at};
use super::pieces::{Piece, drawn, grip_of};
use crate::album::Grip;
use crate::plan::Plan;
use crate::plan::frames::{Edge, FramePlan, What};

/// A half circle below a level line, every 15 degrees, in thousandths of its radius.
const HALF_ROUND: [(i64, i64); 13] = [
    (-1000, 0),
    (-966, 259),
    (-866, 500),
    (-707, 707),
    (-500, 866),
    (-259, 966),
    (0, 1000),
    (259, 966),
    (500, 866),
    (707, 707),
    (866, 500),
    (966, 259),
    (1000, 0),
];

/// What things are taken hold of by: a notch in the layer before them, a tab, a string's hole.
pub(crate) fn grips(
    page: &mut Page,
    (plan, frame): (&Plan, &FramePlan),
    on: &Projection,
    pieces: &[Piece<'_>],
    of: &str,
) {
    let grips = frame.grips;
    for piece in pieces {
        let laid = piece.laid();
        let Some(grip) = grip_of(plan, frame, laid) else {
            continue;
        };
        let (middle, high) = (laid.area.left.midpoint(laid.area.right), laid.area.high);
        let name = format!("{of}: {}, grip", laid.name);
        match grip {
            Grip::Plain => {}
            Grip::Notch => {
                let slot = laid.slot.and_then(|slot| frame.parts.get(slot));
                let mouth = slot.and_then(|it| match it.what {
                    What::Slot(Some(edge)) => Some((edge, drawn(it.mouth?))),
                    _ => None,
                });
                let (Some(radius), Some((edge, mouth))) = (grips.notch, mouth) else {
                    continue;
                };
                let level = laid.area.low.midpoint(high);
                let points: Vec<_> = HALF_ROUND
                    .iter()
                    .map(|(x, y)| (radius * x / 1000, radius * y / 1000))
                    .map(|(x, y)| match edge {
                        Edge::High => (middle + x, mouth - y),
                        Edge::Low => (middle + x, mouth + y),
                        Edge::Right => (mouth - y, level + x),
                        Edge::Left => (mouth + y, level + x),
                    })
                    .map(|(x, y)| at(on.x(x), on.y(y)))
                    .collect();
                page.named_path(&name, &points, Line::Hair);
            }
            Grip::String => {
                let Some((below, radius)) = grips.string else {
                    continue;
                };
                let centre = at(on.x(middle), on.y(high - below));
                let radius = on.scaled(radius).max(400_000);
                page.circle(&name, centre, radius, Line::Hair, None);
            }
            Grip::Tab => {
                let Some(tab) = frame.tab(laid) else {
                    continue;
                };
                let mut part = |area, line: Line| {
                    page.rect(&name, on.area(area), line, None);
                };
                if let Some(area) = tab.hidden {
                    part(area, Line::Hidden);
                }
                part(tab.seen, Line::Hair);
            }
        }
    }
}
