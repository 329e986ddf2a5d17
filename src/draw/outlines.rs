//! The outline of every piece at true scale, to check against or to trace, packed on pages.

use super::check::Taken;
use super::font::{self, Face};
use super::list::{Area, Line, Page, Text, at};
use super::paper::{self, MM, Paper, said};
use super::pieces::{drawn, extent, folds, holes, short_edge, upper};
use super::tile::{self, Large};
use crate::length::{Interval, Length, Ruler};
use crate::plan::frames::{self, Edge, FramePlan, What};
use crate::plan::{Plan, leaf::PhotoPlan};
use crate::report::handout::said as words;

const SIZE: i64 = 3_200_000;
const LINE: i64 = 4_300_000;
/// Between two pieces, and from a piece's edge to its label.
const GAP: i64 = 5 * MM;
const INSET: i64 = 2 * MM;
/// From a tile's edges to its label, at least.
const OFF: i64 = 12 * MM;

/// Pieces of one size.
struct Piece {
    /// As the plan names the first of them: `shore: photo_mat`.
    name: String,
    /// What it is, and of which leaves.
    what: Vec<(String, Vec<String>)>,
    width: Interval,
    height: Interval,
    count: i64,
    photo: Option<PhotoPlan>,
    shape: Shape,
}

/// What is drawn of a piece beside the edges of a rectangle, from its left and its upper end (nanometres).
#[derive(Clone, Default, PartialEq, Eq)]
struct Shape {
    /// Corners of what is no rectangle.
    corners: Vec<(i64, i64)>,
    folds: Vec<[(i64, i64); 2]>,
    /// Centres and radii.
    holes: Vec<((i64, i64), i64)>,
}

/// That of a part of the album itself that is cut as a whole.
fn whole(frame: &FramePlan) -> Shape {
    let high = extent(frame).1;
    let down = |(x, y): (i64, i64)| (x, high - y);
    let runs = folds(frame).into_iter().flat_map(|fold| fold.runs(frame));
    let hole = |(hole, up, wide): (super::pieces::Hole<'_>, Interval, Interval)| {
        (down((drawn(hole.across), drawn(up))), drawn(wide) / 2)
    };
    Shape {
        corners: frame.outline.iter().map(|it| down(*it)).collect(),
        folds: runs.map(|run| run.map(down)).collect(),
        holes: holes(frame).map(hole).collect(),
    }
}

/// The corners of a piece of paper, if its frame has it with corners of its own, and all of a frame that is a
/// piece itself. What is turned in all round loses its corners on what it is turned round.
fn shape(plan: &Plan, leaf: Option<usize>, part: usize) -> Shape {
    let frames = plan.frames.iter().filter(|frame| frame.leaf == leaf);
    let turned_in = |frame: &FramePlan, area: frames::Area| {
        let (width, height) = extent(frame);
        area.left < 0 && area.low < 0 && area.right > width && area.high > height
    };
    let mut laid = frames.flat_map(|frame| {
        let parts = frame.parts.iter();
        parts.filter(move |laid| !turned_in(frame, laid.area))
    });
    let named = plan.parts.get(part).filter(|_| leaf.is_none());
    let named = named.map(|part| part.label.as_str());
    let mut own = plan.frames.iter().filter(|frame| frame.cut);
    if let Some(frame) = own.find(|frame| leaf.is_none() && named == Some(&*frame.name)) {
        return whole(frame);
    }
    let laid = laid.find(|laid| match laid.what {
        What::Paper(None) => named == Some(&*laid.name),
        what => what == What::Paper(Some(part)),
    });
    let corners = laid.map_or(Vec::new(), |laid| {
        let corner = |(x, y): &(i64, i64)| (x - laid.area.left, laid.area.high - y);
        laid.outline.iter().map(corner).collect()
    });
    Shape {
        corners,
        ..Shape::default()
    }
}

fn pieces(plan: &Plan) -> Vec<Piece> {
    let mut all: Vec<Piece> = Vec::new();
    let mut add = |name: String,
                   what: (String, &str),
                   (width, height): (Interval, Interval),
                   count,
                   photo: Option<&PhotoPlan>,
                   shape: Shape| {
        let framed = |photo: Option<&PhotoPlan>| {
            photo.map(|p| (p.width.value, p.height.value, p.border_above, p.border_side))
        };
        let same = all.iter_mut().find(|p| {
            (p.width, p.height) == (width, height)
                && p.shape == shape
                && framed(p.photo.as_ref()) == framed(photo)
        });
        match same {
            Some(piece) => {
                piece.count += count;
                match piece.what.iter_mut().find(|(w, _)| *w == what.0) {
                    Some((_, leaves)) => leaves.push(what.1.to_owned()),
                    None => piece.what.push((what.0, vec![what.1.to_owned()])),
                }
            }
            None => all.push(Piece {
                name,
                what: vec![(what.0, vec![what.1.to_owned()])],
                width,
                height,
                count,
                photo: photo.cloned(),
                shape,
            }),
        }
    };
    for (at, leaf) in plan.leaves.iter().enumerate() {
        for (n, part) in leaf.parts.iter().enumerate() {
            let name = format!("{}: {}", leaf.name, part.label);
            let what = (words::plain(&part.label), leaf.name.as_str());
            let size = (part.width.value, part.height.value);
            let count = leaf.count.saturating_mul(part.count);
            add(name, what, size, count, None, shape(plan, Some(at), n));
        }
        for insert in &leaf.inserts {
            let name = format!("{}: {}", leaf.name, insert.name);
            let what = (words::plain(&insert.name), leaf.name.as_str());
            let count = leaf.count.saturating_mul(insert.count);
            let size = (insert.width.value, insert.height.value);
            add(
                name,
                what,
                size,
                count,
                insert.photo.as_ref(),
                Shape::default(),
            );
        }
    }
    for (n, part) in plan.parts.iter().enumerate() {
        let (name, size) = (part.label.clone(), (part.width.value, part.height.value));
        let what = (words::plain(&part.label), "");
        add(name, what, size, part.count, None, shape(plan, None, n));
    }
    all
}

/// A piece as it is laid on a page.
struct Laid {
    large: Large,
    /// Its text: whole sentences, and set in lines.
    told: Vec<(Face, String)>,
    label: Vec<(Face, String)>,
    /// The label's room: inside the piece, or below it.
    inside: bool,
    /// The whole cell.
    wide: i64,
    high: i64,
    title: String,
}

fn lay(plan: &Plan, piece: &Piece, room: (i64, i64)) -> Laid {
    let (width, height) = (drawn(piece.width), drawn(piece.height));
    let fits = |w: i64, h: i64| w <= room.0 && h <= room.1;
    // On its side only where that saves a second page.
    let turned = !fits(width, height) && fits(height, width);
    let (wide, high) = if turned {
        (height, width)
    } else {
        (width, height)
    };
    let mut large = Large {
        width: wide,
        height: high,
        ..Large::default()
    };
    let Shape {
        corners,
        folds,
        holes,
    } = &piece.shape;
    // Turned with its head to the left.
    let place = |(x, y): (i64, i64)| if turned { (y, width - x) } else { (x, y) };
    let point = |it: &(i64, i64)| at(place(*it).0, place(*it).1);
    match corners.is_empty() {
        true => large.rect(&piece.name, Area::sized(0, 0, wide, high), Line::Edge),
        false => {
            let corners: Vec<_> = corners.iter().map(point).collect();
            large.ring(&piece.name, &corners, Line::Edge);
        }
    }
    for [from, to] in folds {
        let name = format!("{}: fold", piece.name);
        large.lines.push((name, point(from), point(to), Line::Fold));
    }
    for (centre, radius) in holes {
        let name = format!("{}: hole", piece.name);
        let radius = Length::from_nm(*radius);
        large.circles.push((name, point(centre), radius));
    }
    // Inside the inner frame where there is one.
    let free = free_room(piece, wide, high, turned);
    if piece.photo.is_some() {
        large.rect(&format!("{}.photo", piece.name), free, Line::Edge);
    }
    let told = sentences(plan, piece, turned);
    let title = format!("{}, {}", told[0].1, sized(plan.ruler, piece));
    let tall = |lines: usize| lines as i64 * LINE + 2 * INSET;
    let inner = set(&told, (free.width() - 2 * INSET).max(MM));
    let whole_words = inner.iter().all(|(face, line)| {
        let long = font::extent(*face, Length::from_nm(SIZE), line).width;
        long <= free.width() - 2 * INSET
    });
    // Where a corner or a hole reaches in, or a fold crosses, words would lie on its lines.
    let high_enough = tall(inner.len());
    let reaches_in = |it: (i64, i64), by: i64| {
        let (x, y) = place(it);
        (1..wide).contains(&x) && (1 - by..high_enough + by).contains(&y)
    };
    let crosses = |[from, to]: &[(i64, i64); 2]| {
        let (a, b) = (place(*from), place(*to));
        a.1.min(b.1) < high_enough && a.0.max(b.0) > 0 && a.0.min(b.0) < wide
    };
    let inside = free.width() >= 24 * MM
        && high_enough <= free.height()
        && whole_words
        && !corners.iter().any(|it| reaches_in(*it, 0))
        && !holes
            .iter()
            .any(|(it, radius)| reaches_in(*it, radius + 2 * MM))
        && !folds.iter().any(crosses);
    let (label, cell) = match inside || !fits(wide, high) {
        true => (inner, (wide, high)),
        false => {
            let width = wide.max(46 * MM).min(room.0);
            let label = set(&told, width);
            let below = label.len() as i64 * LINE + INSET;
            (label, (width, high + below))
        }
    };
    Laid {
        large,
        told,
        label,
        inside,
        wide: cell.0,
        high: cell.1,
        title,
    }
}

fn sized(ruler: Ruler, piece: &Piece) -> String {
    words::sized(ruler, piece.width, piece.height)
}

/// What is said of a piece: first what it is.
fn sentences(plan: &Plan, piece: &Piece, turned: bool) -> Vec<(Face, String)> {
    let ruler = plan.ruler;
    let what = piece.what.iter();
    let what = what.map(|(what, leaves)| match leaves.iter().all(String::is_empty) {
        true => what.clone(),
        false => format!("{what} ({})", words::lengths(leaves)),
    });
    let what = words::lengths(&what.collect::<Vec<_>>());
    let count = format!("{}; {} in all", sized(ruler, piece), piece.count);
    let mut told = vec![(Face::Bold, what), (Face::Regular, count)];
    if let Some(photo) = &piece.photo {
        let size = words::sized(ruler, photo.width.value, photo.height.value);
        told.push((Face::Regular, format!("inner frame: its photo, {size}")));
    }
    let own = plan.frames.iter().find(|frame| frame.name == piece.name);
    let head = own.map_or(upper(plan), |frame| short_edge(frame, Edge::High));
    let lies = match turned {
        false => format!("{head} above"),
        true => format!("lies on its side here: its {head} is at the left"),
    };
    told.push((Face::Regular, lies));
    told
}

/// Sentences in lines of a width.
fn set(told: &[(Face, String)], width: i64) -> Vec<(Face, String)> {
    let lines = |face: Face, text: &str| {
        let text = font::drawable(text);
        font::lines(face, Length::from_nm(SIZE), &text, width).into_iter()
    };
    told.iter()
        .flat_map(|(face, text)| lines(*face, text).map(|line| (*face, line)))
        .collect()
}

/// Where a label may stand inside a piece.
fn free_room(piece: &Piece, wide: i64, high: i64, turned: bool) -> Area {
    let all = Area::sized(0, 0, wide, high);
    let Some(photo) = &piece.photo else {
        return all;
    };
    let (w, h) = (drawn(photo.width.value), drawn(photo.height.value));
    let (x, y) = ((drawn(piece.width) - w) / 2, drawn(photo.border_above));
    match turned {
        false => Area::sized(x, y, w, h),
        true => Area::sized(y, x, h, w),
    }
}

/// All pages of outlines; without `every`, only of what is no plain rectangle.
pub fn pages(paper: Paper, plan: &Plan, every: bool) -> Vec<Page> {
    let body = paper.true_body();
    let room = (body.width(), body.height());
    let wanted = pieces(plan);
    let wanted = wanted
        .iter()
        .filter(|it| every || !it.shape.corners.is_empty());
    let mut all: Vec<(Laid, Area)> = wanted
        .map(|piece| {
            let free = (piece, lay(plan, piece, room));
            let turned = free.1.large.width != drawn(piece.width);
            let (wide, high) = (free.1.large.width, free.1.large.height);
            (free.1, free_room(piece, wide, high, turned))
        })
        .collect();
    // Highest first; the order of the plan where they are alike.
    all.sort_by_key(|(laid, _)| (-laid.high, -laid.wide));
    let (whole, large): (Vec<_>, Vec<_>) = all
        .into_iter()
        .partition(|(l, _)| l.wide <= room.0 && l.high <= room.1);
    let mut pages = packed(paper, whole);
    for (laid, free) in large {
        for tile in tile::tiles(&laid.large, room.0, room.1) {
            let part = tile::named(tile).unwrap_or_default();
            let title = format!("Outline, {part}");
            let mut page = paper.page(&title, &format!("{title}: {}", laid.title));
            paper::title(&mut page);
            paper::bars(&mut page, paper);
            tile::draw(&mut page, &laid.large, tile, (body.left, body.top), 0);
            let (dx, dy) = (body.left - tile.window.left, body.top - tile.window.top);
            // Told on every part, where there is room.
            let seen = Area {
                left: free.left.max(tile.window.left) + dx,
                right: free.right.min(tile.window.right) + dx,
                top: free.top.max(tile.window.top) + dy,
                bottom: free.bottom.min(tile.window.bottom) + dy,
            };
            let join = "Cut along the long-dashed line, lay it on its twin, crosses on crosses.";
            let mut told = laid.told.clone();
            told.push((Face::Regular, join.to_owned()));
            let words = set(&told, (seen.width() - 2 * OFF).max(30 * MM));
            // All of it where there is room, else its head.
            let place = (1..=words.len())
                .rev()
                .find_map(|n| Some((n, place(&page, &words[..n], seen)?)));
            if let Some((n, room)) = place {
                label(&mut page, &words[..n], room);
            }
            pages.push(page);
        }
    }
    pages
}

/// Room for some lines inside an area, on no line and no text: as far up and to the left as can be.
fn place(page: &Page, lines: &[(Face, String)], inside: Area) -> Option<Area> {
    let width = lines
        .iter()
        .map(|(face, line)| font::extent(*face, Length::from_nm(SIZE), line).width)
        .max()?
        + 2 * INSET;
    let height = lines.len() as i64 * LINE + 2 * INSET;
    let taken = Taken::on(page);
    let steps = |from: i64, to: i64| (from + MM..=to - MM).step_by(4_000_000);
    steps(inside.top, inside.bottom - height)
        .flat_map(|y| steps(inside.left, inside.right - width).map(move |x| (x, y)))
        .map(|(x, y)| Area::sized(x, y, width, height))
        .find(|area| taken.free(*area))
}

/// Packs pieces on pages: each where there is room first, largest first.
fn packed(paper: Paper, all: Vec<(Laid, Area)>) -> Vec<Page> {
    let body = paper.true_body();
    let title = "Outlines at true scale";
    let about = "The outline of every piece to cut, at true scale.";
    // Empty places: page and area.
    let mut empty: Vec<(usize, Area)> = Vec::new();
    let mut pages: Vec<Page> = Vec::new();
    for (laid, free) in all {
        let fits =
            |(_, area): &(usize, Area)| laid.wide <= area.width() && laid.high <= area.height();
        let place = empty.iter().position(fits).unwrap_or_else(|| {
            let mut page = paper.page(title, about);
            paper::bars(&mut page, paper);
            pages.push(page);
            empty.push((pages.len() - 1, body));
            empty.len() - 1
        });
        let (n, area) = empty.remove(place);
        let (x, y) = (area.left, area.top);
        // What is left: beside it and below it, cut so that the larger part stays whole.
        let right = x + laid.wide + GAP;
        let below = y + laid.high + GAP;
        let beside = (area.right - right) > (area.bottom - below);
        let left = [
            Area {
                left: right,
                bottom: if beside { area.bottom } else { y + laid.high },
                ..area
            },
            Area {
                top: below,
                right: if beside { x + laid.wide } else { area.right },
                ..area
            },
        ];
        let worth = |part: &Area| part.width() > 0 && part.height() > 0;
        let parts = left.into_iter().filter(worth).map(|part| (n, part));
        empty.splice(place..place, parts);
        let page = &mut pages[n];
        for tile in tile::tiles(&laid.large, laid.large.width, laid.large.height) {
            tile::draw(page, &laid.large, tile, (x, y), 0);
        }
        let room = match laid.inside {
            true => Area {
                left: free.left + x,
                right: free.right + x,
                top: free.top + y,
                bottom: free.bottom + y,
            },
            false => Area::sized(x - INSET, y + laid.large.height - INSET / 2, laid.wide, 0),
        };
        label(page, &laid.label, room);
    }
    let count = pages.len();
    for (n, page) in pages.iter_mut().enumerate() {
        page.title = format!("{title}, sheet {} of {count}", n + 1);
        paper::title(page);
    }
    pages
}

/// Lines of a label from the upper left corner of their room.
fn label(page: &mut Page, lines: &[(Face, String)], room: Area) {
    for (n, (face, line)) in lines.iter().enumerate() {
        let y = room.top + INSET + LINE * (n as i64 + 1) - MM;
        page.text(Text {
            face: *face,
            ..said(room.left + INSET, y, line, SIZE)
        });
    }
}
