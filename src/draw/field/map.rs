//! The map itself: grounds, lines, letters, dots.

use super::super::font::Face;
use super::super::list::{Anchor, Area, Hatch, Ink, Line, Page, Point, Stroke, Text, at};
use super::super::paper::said;
use super::super::picture::{LARGE, MARGIN, SMALL, say};
use super::{GROUNDS, MM, Map, unit};
use crate::compare::Offer;
use crate::compare::sizes;
use crate::compare::sweep::Cell;
use crate::length::{Length, Ruler};
use crate::report::compare as words;

/// Size of the words within the map.
const TINY: i64 = 2_200_000;

impl Map<'_> {
    fn cell_area(&self, width: usize, height: usize) -> Area {
        let (w, h) = self.cell;
        let (x, y) = (width as i64, height as i64 + 1);
        Area::sized(self.area.left + w * x, self.area.bottom - h * y, w, h)
    }

    fn size(&self) -> (usize, usize) {
        (self.sweep.grid.widths.len(), self.sweep.grid.heights.len())
    }

    /// Runs of equal cells in a row, each as one area.
    pub(super) fn grounds(&self, page: &mut Page) {
        let (wide, high) = self.size();
        let ground = |cell: Option<Cell>| match cell {
            Some(Cell::Photo(_, _, region)) => GROUNDS.get(region).copied().unwrap_or(Ink::White),
            _ => Ink::White,
        };
        // From the top down: each row reaches a little under the next, so that no seam is seen.
        for y in (0..high).rev() {
            let mut x = 0;
            while x < wide {
                let from = x;
                let one = self.sweep.cell(x, y);
                let no = one == Some(Cell::DoesNotFit);
                let same = |cell: Option<Cell>| {
                    ground(cell) == ground(one) && (cell == Some(Cell::DoesNotFit)) == no
                };
                while x < wide && same(self.sweep.cell(x, y)) {
                    x += 1;
                }
                let run = self.cell_area(from, y).with(self.cell_area(x - 1, y));
                match no {
                    true => page.hatch(run, Hatch::Rising, 2 * MM, Ink::Light),
                    false => {
                        let bottom = (run.bottom + MM / 10).min(self.area.bottom);
                        page.fill(Area { bottom, ..run }, ground(one));
                    }
                }
            }
        }
    }

    /// Lines between cells that differ, straight ones in one piece.
    fn between<T: PartialEq>(
        &self,
        page: &mut Page,
        stroke: Stroke,
        of: impl Fn(Option<Cell>) -> T,
    ) {
        let (wide, high) = self.size();
        let cell = |x: usize, y: usize| of(self.sweep.cell(x, y));
        for x in 1..wide {
            let differs = |y: usize| y < high && cell(x - 1, y) != cell(x, y);
            for (from, to) in runs(high, differs) {
                let (low, up) = (self.cell_area(x, from), self.cell_area(x, to - 1));
                page.line(at(low.left, low.bottom), at(up.left, up.top), stroke);
            }
        }
        for y in 1..high {
            let differs = |x: usize| x < wide && cell(x, y - 1) != cell(x, y);
            for (from, to) in runs(wide, differs) {
                let (left, right) = (self.cell_area(from, y), self.cell_area(to - 1, y));
                page.line(
                    at(left.left, left.bottom),
                    at(right.right, left.bottom),
                    stroke,
                );
            }
        }
    }

    pub(super) fn borders(&self, page: &mut Page) {
        self.between(page, Line::Edge.into(), |cell| match cell {
            Some(Cell::Photo(_, _, region)) => region.min(GROUNDS.len()),
            Some(Cell::DoesNotFit) => usize::MAX,
            _ => usize::MAX - 1,
        });
    }

    pub(super) fn contours(&self, page: &mut Page, ruler: Ruler) {
        let step = unit(ruler).nm();
        let stroke = Stroke {
            line: Line::Hidden,
            ink: Ink::Dark,
        };
        self.between(page, stroke, |cell| match cell {
            Some(Cell::Photo(wide, high, _)) => sizes(wide, high).0.nm() / step,
            _ => -1,
        });
    }

    pub(super) fn axes(&self, page: &mut Page, ruler: Ruler) {
        let step = unit(ruler).nm();
        let dark = Stroke {
            line: Line::Thin,
            ink: Ink::Black,
        };
        let middle = |area: Area| area.middle();
        for (n, width) in self.sweep.grid.widths.iter().enumerate() {
            if width.nm() % step == 0 {
                let (x, y) = (middle(self.cell_area(n, 0)).0, self.area.bottom);
                page.line(at(x, y), at(x, y + 2 * MM), dark);
                let words = words::bare(ruler, *width);
                say(
                    page,
                    x,
                    y + 6 * MM,
                    &words,
                    SMALL,
                    Face::Regular,
                    Anchor::Middle,
                );
            }
        }
        for (n, height) in self.sweep.grid.heights.iter().enumerate() {
            if height.nm() % step == 0 {
                let (x, y) = (self.area.left, middle(self.cell_area(0, n)).1);
                page.line(at(x - 2 * MM, y), at(x, y), dark);
                let words = words::bare(ruler, *height);
                say(
                    page,
                    x - 3 * MM,
                    y + MM,
                    &words,
                    SMALL,
                    Face::Regular,
                    Anchor::End,
                );
            }
        }
        let unit = ruler.unit().name();
        let (x, y) = (self.area.middle().0, self.area.bottom + 12 * MM);
        say(
            page,
            x,
            y,
            &format!("width of the bag, {unit}"),
            SMALL,
            Face::Regular,
            Anchor::Middle,
        );
        page.text(Text {
            at: at(MARGIN + 3 * MM, self.area.middle().1),
            words: format!("height of the bag, {unit}"),
            size: Length::from_nm(SMALL),
            face: Face::Regular,
            anchor: Anchor::Middle,
            turned: true,
            ink: Ink::Black,
        });
    }

    /// Each region's letter, in the middle of it or as near to that as no bag's dot lies under it.
    pub(super) fn letters(&self, page: &mut Page, bags: &[Offer]) -> Vec<Area> {
        let (wide, high) = self.size();
        let mut taken = Vec::new();
        let dots: Vec<Area> = (bags.iter())
            .filter_map(|offer| self.point(offer))
            .map(dot)
            .collect();
        let letter = |region: usize, (x, y): (usize, usize)| {
            let (x, y) = self.cell_area(x, y).middle();
            let letter = words::sweep::letter(region);
            Text {
                face: Face::Bold,
                anchor: Anchor::Middle,
                ..said(x, y + 3 * MM / 2, letter, LARGE)
            }
        };
        let regions = self.sweep.regions.len();
        for (region, ink) in GROUNDS.iter().enumerate().take(regions) {
            let here = (0..high).flat_map(|y| (0..wide).map(move |x| (x, y))).filter(|(x, y)| {
                matches!(self.sweep.cell(*x, *y), Some(Cell::Photo(_, _, r)) if r == region)
            });
            let cells: Vec<(usize, usize)> = here.collect();
            let count = cells.len().max(1);
            let sum = cells.iter().fold((0, 0), |(a, b), (x, y)| (a + x, b + y));
            let centre = (sum.0 / count, sum.1 / count);
            let far = |(x, y): &(usize, usize)| x.abs_diff(centre.0) + y.abs_diff(centre.1);
            let on_a_dot = |cell: (usize, usize)| {
                let ground = letter(region, cell).area().grown(MM / 2);
                dots.iter().any(|dot| dot.meets(ground))
            };
            let Some(&cell) = cells
                .iter()
                .min_by_key(|cell| (on_a_dot(**cell), far(cell)))
            else {
                continue;
            };
            let text = letter(region, cell);
            let ground = text.area().grown(MM / 2);
            page.fill(ground, *ink);
            taken.push(ground);
            page.text(text);
        }
        taken
    }

    /// Each bag as a dot at its size, with its number beside it.
    pub(super) fn dots(&self, page: &mut Page, bags: &[Offer], taken: &mut Vec<Area>) {
        let dots: Vec<Option<Point>> = bags.iter().map(|offer| self.point(offer)).collect();
        taken.extend(dots.iter().copied().flatten().map(dot));
        for (n, point) in dots.iter().enumerate() {
            let Some(point) = point else { continue };
            page.circle("", *point, MM, Line::Thin, Some(Ink::Black));
            let (x, y, number) = (point.x.nm(), point.y.nm(), (n + 1).to_string());
            let number = |dx: i64, dy: i64| Text {
                face: Face::Bold,
                anchor: if dx < 0 { Anchor::End } else { Anchor::Start },
                ..said(x + dx, y + dy, &number, SMALL)
            };
            let offsets = [
                (2, 1),
                (-2, 1),
                (1, -2),
                (1, 5),
                (-1, -2),
                (-1, 5),
                (5, 1),
                (-5, 1),
            ];
            let texts = offsets.map(|(dx, dy)| number(dx * MM, dy * MM));
            let free = |text: &&Text| {
                let area = text.area();
                self.area.holds(area) && !taken.iter().any(|other| other.meets(area))
            };
            let text = texts.iter().find(free).unwrap_or(&texts[0]).clone();
            let ground = text.area().grown(MM / 4);
            page.fill(ground, Ink::White);
            taken.push(ground);
            page.text(text);
        }
    }

    /// Photos at some of the grid points: where there is room within one region.
    pub(super) fn photos(&self, page: &mut Page, ruler: Ruler, taken: &[Area]) {
        let (wide, high) = self.size();
        let step = unit(ruler).nm();
        let alike = |cell: Option<Cell>| match cell {
            Some(Cell::Photo(w, h, region)) => Some((region, sizes(w, h).0.nm() / step)),
            _ => None,
        };
        for x in words::sweep::some(wide, 5) {
            for y in words::sweep::some(high, 10) {
                let Some(Cell::Photo(w, h, region)) = self.sweep.cell(x, y) else {
                    continue;
                };
                let (across, up) = self.cell_area(x, y).middle();
                let size = format!("{} x {}", words::bare(ruler, w), words::bare(ruler, h));
                let text = Text {
                    anchor: Anchor::Middle,
                    ink: Ink::Dark,
                    ..said(across, up + MM / 2, &size, TINY)
                };
                let area = text.area().grown(MM / 3);
                let here = alike(self.sweep.cell(x, y));
                let apart = |(x, y): (usize, usize)| {
                    self.cell_area(x, y).meets(area) && alike(self.sweep.cell(x, y)) != here
                };
                let mut cells = (0..high).flat_map(|y| (0..wide).map(move |x| (x, y)));
                let free = self.area.holds(area)
                    && !taken.iter().any(|other| other.meets(area))
                    && !cells.any(apart);
                if free {
                    page.fill(
                        text.area(),
                        GROUNDS.get(region).copied().unwrap_or(Ink::White),
                    );
                    page.text(text);
                }
            }
        }
    }

    /// Where a bag lies, if it lies on the map.
    pub(super) fn point(&self, offer: &Offer) -> Option<Point> {
        let place = |sides: &[Length], side: i64, cell: i64| {
            let (first, last) = (sides.first()?.nm(), sides.last()?.nm());
            if !(first..=last).contains(&side) {
                return None;
            }
            let step = match sides {
                [first, second, ..] => second.nm() - first.nm(),
                _ => 1,
            };
            let along = i128::from(side - first) * i128::from(cell) / i128::from(step.max(1));
            Some(i64::try_from(along).ok()? + cell / 2)
        };
        let grid = &self.sweep.grid;
        let x = place(&grid.widths, offer.bag.width.middle().nm(), self.cell.0)?;
        let y = place(&grid.heights, offer.bag.height.middle().nm(), self.cell.1)?;
        Some(at(self.area.left + x, self.area.bottom - y))
    }
}

/// What a bag's dot covers.
fn dot(point: Point) -> Area {
    Area::sized(point.x.nm() - MM, point.y.nm() - MM, 2 * MM, 2 * MM)
}

/// Runs of places for which something holds, as first and one past the last.
fn runs(many: usize, holds: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
    let mut all = Vec::new();
    let mut n = 0;
    while n < many {
        let from = n;
        while n < many && holds(n) {
            n += 1;
        }
        if n > from {
            all.push((from, n));
        }
        n += 1;
    }
    all
}
