//! Parts on their frame: their ends, what hides what, what they say. What is tucked into them is `tuck`'s.
//! May import what `plan` may.

use super::amount::{Amount, Ends};
use super::value::Laying;
use super::{Area, FramePlan, Grips, Laid, Marked, What, holes_met};
use crate::length::{Interval, Length};
use crate::plan::leaf;
use crate::plan::phrase::{Phrase, Piece};
use crate::program::{PlaceError, WrongPlace};
use crate::style::expr::{Expr, Node, Number, Path, Words};
use crate::style::parts::{Edge, End, Frame, Kind, Lies, MOST_MARKS, Mark, Part};
use crate::style::steps::Sentence;
use itertools::Itertools;
use num_traits::{ToPrimitive, Zero};

/// A side as a maker reads it; nothing if it is not known.
fn told(amount: Option<Amount>) -> Interval {
    amount.and_then(Amount::side).unwrap_or_default()
}

impl Laid {
    /// Of no slot, hidden by nothing and with no sentence yet.
    pub(super) fn plain(
        name: &str,
        title: &str,
        what: What,
        area: Area,
        [width, height]: [Option<Amount>; 2],
        back: bool,
    ) -> Laid {
        Laid {
            name: name.to_owned(),
            title: title.to_owned(),
            what,
            area,
            width: told(width),
            height: told(height),
            back,
            ..Laid::default()
        }
    }
}

impl Laying<'_> {
    fn along(
        &self,
        [near, far, size]: [&Option<End>; 3],
        own: Option<Amount>,
        whole: Amount,
    ) -> Option<(Amount, Amount)> {
        let end = |end: &Option<End>| end.as_ref().map(|end| self.end(end));
        let size = match end(size) {
            Some(size) => Some(size?),
            None => own,
        };
        Some(match (end(near), end(far), size) {
            (Some(near), Some(far), _) => (near?, far?),
            (Some(near), None, Some(size)) => (near?, near?.plus(size)?),
            (None, Some(far), Some(size)) => (far?.minus(size)?, far?),
            (None, None, Some(size)) => {
                let near = whole.minus(size)?.half()?;
                (near, near.plus(size)?)
            }
            (Some(near), None, None) => (near?, whole),
            (None, Some(far), None) => (Amount::exact(Number::zero()), far?),
            (None, None, None) => (Amount::exact(Number::zero()), whole),
        })
    }

    /// From one end of a part to the other. What both ends hang on counts once.
    fn side(&self, lies: &Lies, own: bool, ends: Ends, field: &str) -> Option<Amount> {
        let [near, far, size] = match field {
            "width" => lies.across(),
            _ => lies.up(),
        };
        if let Some(size) = size {
            return self.end(size);
        }
        if own {
            return ends.of(field);
        }
        let far = match far {
            // A frame of the album is no thing with a name in scope.
            None => (self.scope.0.first()).map(|(frame, _)| Expr::name(frame, field)),
            Some(End::At(far)) => Some(far.clone()),
            Some(_) => None,
        };
        match (near, far) {
            (Some(End::At(near)), Some(far)) => {
                let (far, near) = (Box::new(far), Box::new(near.clone()));
                self.value(&Expr::unsaid(Node::Subtract(far, near)))
            }
            _ => ends.of(field),
        }
    }

    fn lie(&self, lies: &Lies, own: [Option<Amount>; 2]) -> Option<Ends> {
        let (left, right) = self.along(lies.across(), own[0], self.width)?;
        let (low, high) = self.along(lies.up(), own[1], self.height)?;
        Some(Ends {
            left,
            right,
            low,
            high,
        })
    }

    /// What a part is here; `None` if it is not there.
    fn present(&self, part: &Part) -> Option<(What, [Option<Amount>; 2])> {
        if !self.holds(&part.when) {
            return None;
        }
        match &part.kind {
            Kind::Paper { .. } => {
                let style = self.view.parts.style;
                let pieces = self.pieces;
                let piece = pieces.iter().position(|piece| piece.label == part.name);
                match piece {
                    Some(n) => {
                        let own = [&pieces[n].width, &pieces[n].height];
                        Some((What::Paper(Some(n)), own.map(|s| Some(Amount::of(s.value)))))
                    }
                    // It has sizes to find, and the leaf or the album has it not.
                    None if style.has_part(&part.name) => None,
                    None if style.papers_of_album().contains(&part.name.as_str()) => None,
                    None if self.leaf.is_none() && !self.view.is_wanted(&part.name) => None,
                    None => Some((What::Paper(None), [None, None])),
                }
            }
            Kind::Ply { layers, .. } => {
                let layers = self.value(layers)?.most.to_integer().to_i64()?;
                Some((What::Ply(layers), [None, None]))
            }
            Kind::Slot(slot) => Some((What::Slot(slot.opens), [None, None])),
            Kind::Frame(_) => None,
        }
    }

    pub(super) fn frame(&mut self, part: &Part, frame: &Frame, leaf: Option<usize>) -> FramePlan {
        self.fill_slots(frame);
        self.find_ends(frame);
        self.absent(&part.name, part.outline.iter().flat_map(|(x, y)| [x, y]));
        let plies = |part: &Part| matches!(part.kind, Kind::Ply { .. });
        let last_ply = frame.on.iter().rposition(plies);
        let mut laid: Vec<Laid> = Vec::new();
        let mut all: Vec<Option<Ends>> = Vec::new();
        let mut sides = frame.sides.clone();
        for (at, on) in frame.on.iter().enumerate() {
            let Some((what, own)) = self.present(on) else {
                continue;
            };
            let lies = [&on.lies.left, &on.lies.right, &on.lies.width];
            let lies = lies
                .into_iter()
                .chain([&on.lies.low, &on.lies.high, &on.lies.height]);
            let corners = on.outline.iter().flat_map(|(x, y)| [x, y]);
            let glued = on.glued.iter().map(|(_, wide)| wide);
            let ends = lies.flatten().filter_map(|end| match end {
                End::At(expr) => Some(expr),
                End::Most(_) | End::Least(_) => None,
            });
            self.absent(&on.name, ends.chain(corners).chain(glued));
            let Some(ends) = self.lie(&on.lies, own) else {
                continue;
            };
            self.sized(on, own, ends);
            let back = last_ply.is_some_and(|last| at > last);
            if let Some(called) = &on.side {
                sides[usize::from(back)].clone_from(called);
            }
            let of = laid.len();
            all.push(Some(ends));
            laid.push(self.laid(on, what, own, ends, back));
            if let Kind::Slot(slot) = &on.kind {
                let inside = self.tucked(&on.name, slot, ends, back, of);
                all.resize(all.len() + inside.len(), None);
                laid.extend(inside);
            }
        }
        self.hide(&mut laid, &all);
        self.say(frame, &mut laid);
        let marks = frame
            .marks
            .iter()
            .flat_map(|mark| self.marks(mark, (&part.name, &frame.edges)));
        let marks = marks.collect();
        FramePlan {
            name: part.name.clone(),
            leaf,
            count: leaf::alike(self.view, frame, &self.scope),
            bound: frame.bound,
            titles: frame.titles.clone(),
            sides,
            edges: frame.edges.clone(),
            from: frame.from.clone(),
            faces: frame.faces.clone(),
            measures: frame.measures.clone(),
            width: self.width.interval().unwrap_or_default(),
            height: self.height.interval().unwrap_or_default(),
            cut: leaf.is_some() || self.pieces.iter().any(|it| it.label == part.name),
            outline: self.corners(part),
            marks,
            out: self.out(&laid),
            grips: self.grips(),
            parts: laid,
        }
    }

    /// Works out the ends of all parts. An end may speak of a part that stands behind it in the list:
    /// what cannot be worked out yet is asked again.
    fn find_ends(&mut self, frame: &Frame) {
        for _ in 0..=frame.on.len() {
            let before = self.ends.len();
            for on in &frame.on {
                if let Some((_, own)) = self.present(on)
                    && !self.ends.contains_key(&on.name)
                    && let Some(ends) = self.lie(&on.lies, own)
                {
                    self.ends.insert(on.name.clone(), ends);
                }
            }
            if self.ends.len() == before {
                break;
            }
        }
    }

    /// The corners of what is no rectangle.
    fn corners(&self, of: &Part) -> Vec<(i64, i64)> {
        let corner = |(x, y): &(Expr, Expr)| Some((self.value(x)?.drawn(), self.value(y)?.drawn()));
        of.outline.iter().filter_map(corner).collect()
    }

    /// A part where it lies, with what its slot says of it; its sentences come later.
    fn laid(
        &self,
        on: &Part,
        what: What,
        [width, height]: [Option<Amount>; 2],
        ends: Ends,
        back: bool,
    ) -> Laid {
        let side = |field| self.side(&on.lies, false, ends, field);
        let glued = on.glued.iter();
        let glued = glued
            .filter_map(|(edge, wide)| Some(ends.area().strip(*edge, self.value(wide)?.drawn())));
        let slot = match &on.kind {
            Kind::Slot(slot) => Some(slot),
            _ => None,
        };
        let opens = slot.and_then(|slot| slot.opens);
        let measured = match (slot, opens) {
            // A part that says only where it ends across is measured across.
            (None, _) if on.lies.high.is_none() && on.lies.right.is_some() => Some(ends.right),
            (None, _) => Some(ends.high),
            (Some(_), Some(Edge::Left | Edge::Right)) => side("width"),
            (Some(_), _) => side("height"),
        };
        let sizes = [
            width.or_else(|| side("width")),
            height.or_else(|| side("height")),
        ];
        Laid {
            flat: matches!(on.kind, Kind::Paper { flat: true, .. }),
            outline: self.corners(on),
            glued: glued.collect(),
            stops: match opens {
                Some(Edge::Low) => on.lies.high.is_some(),
                Some(Edge::Left) => on.lies.right.is_some(),
                Some(Edge::Right) => on.lies.left.is_some(),
                Some(Edge::High) | None => on.lies.low.is_some(),
            },
            edge: slot.and_then(|slot| slot.edge.clone()),
            mouth: opens.and_then(|opens| ends.at(opens).interval()),
            measure: on.measure.clone().map(|words| (words, told(measured))),
            ..Laid::plain(&on.name, &on.title, what, ends.area(), sizes, back)
        }
    }

    /// What things are taken hold of by; where the style does not say it, it is not drawn.
    fn grips(&self) -> Grips {
        let of = |field: &str| {
            let path = Path(vec!["grip".to_owned(), field.to_owned()]);
            Some(self.name(&path)?.drawn()).filter(|it| *it > 0)
        };
        Grips {
            notch: of("notch"),
            string: of("tie_below").zip(of("tie_radius")),
            tab: of("pull_width").zip(of("pull_height")),
            glued: of("pull_glued"),
        }
    }

    /// What lies before each part, and how far it runs under that.
    fn hide(&self, laid: &mut [Laid], ends: &[Option<Ends>]) {
        let covers = |part: &Laid| match part.what {
            What::Paper(_) => true,
            What::Ply(layers) => layers > 0,
            What::Slot(_) | What::Insert(..) => false,
        };
        for at in 0..laid.len() {
            let part = &laid[at];
            let before = laid.iter().enumerate().filter(|(n, other)| {
                let before = match part.back {
                    true => other.back && *n > at,
                    false => *n < at,
                };
                before && covers(other) && other.area.meets(part.area)
            });
            let before: Vec<(usize, Area)> = before.map(|(n, other)| (n, other.area)).collect();
            // Its low end is hidden, and its high end is seen.
            let (low, high) = (part.area.low, part.area.high);
            let plies = (before.iter()).filter(|(n, _)| matches!(laid[*n].what, What::Ply(_)));
            let over = plies.filter(|(_, it)| it.low <= low && it.high > low);
            let over = over.max_by_key(|(_, it)| it.high);
            let over = over.filter(|(_, it)| it.high <= high);
            let title = over.map(|(n, _)| laid[*n].title.clone());
            let under = over.and_then(|(n, _)| {
                let (over, part) = ((*ends.get(*n)?)?, (*ends.get(at)?)?);
                over.high.minus(part.low)?.interval()
            });
            let part = &mut laid[at];
            part.behind = before.into_iter().map(|(_, area)| area).collect();
            if let What::Paper(_) = part.what {
                part.under = title.filter(|_| under.is_some());
                part.runs_under = under;
            }
        }
    }

    fn marks(&mut self, mark: &Mark, on: (&str, &[String; 4])) -> Vec<Marked> {
        let count = mark.count.as_ref().map_or(Some(1), |count| {
            self.value(count)?.middle.to_integer().to_i64()
        });
        let count = count.unwrap_or(0).clamp(0, MOST_MARKS);
        let leaf = self.leaf.filter(|_| mark.diameter.is_some());
        let holes = leaf.map(|(id, _)| self.view.scene().list(id, "holes").to_vec());
        let holes = holes.unwrap_or_default();
        let met = holes_met(self.view.parts, self.leaf.map(|(id, _)| id), mark);
        let mut marked: Vec<Marked> = Vec::new();
        for place in 0..count {
            let thing = usize::try_from(place).ok().and_then(|n| holes.get(n));
            match thing {
                Some(thing) => self.scope.push(&mark.name, *thing),
                None => self.mark = Some((mark.name.clone(), place)),
            }
            let met = usize::try_from(place).ok().and_then(|n| met.get(n));
            if let Some((name, hole)) = met {
                self.scope.push(name, *hole);
            }
            self.fits_on(mark, on);
            let of = |expr: &Expr| self.value(expr)?.interval();
            let [across, up, diameter] =
                [&mark.across, &mark.up, &mark.diameter].map(|it| it.as_ref().and_then(of));
            if across.or(up).is_some() {
                marked.push(Marked {
                    name: mark.name.clone(),
                    titles: mark.titles.clone(),
                    lay: mark.lay.clone(),
                    note: None,
                    across,
                    up,
                    diameter,
                });
            }
            for _ in thing.into_iter().chain(met.map(|(_, hole)| hole)) {
                self.scope.0.pop();
            }
            self.mark = None;
        }
        let heights = marked.iter().filter_map(|it| it.up);
        let heights: Vec<Interval> = heights.unique().collect();
        let fill = |path: &Path| {
            let of_all = path.head() == mark.name && path.last() == "heights";
            of_all.then(|| Piece::Lengths(heights.clone()))
        };
        let note = mark.note.iter().find_map(|it| self.sentence(it, &fill));
        for it in &mut marked {
            it.note.clone_from(&note);
        }
        marked
    }

    /// Notes what the style says falsely of a mark: its centre lies on the frame.
    fn fits_on(&mut self, mark: &Mark, (on, edges): (&str, &[String; 4])) {
        self.absent(&mark.name, mark.lengths());
        let [left, right, low, high] = edges;
        let axes = [
            (&mark.across, self.width, [left, right]),
            (&mark.up, self.height, [low, high]),
        ];
        let zero = Number::zero();
        let ruler = self.view.parts.album.ruler;
        let show =
            |n: Number| ruler.show(Length::from_nm(n.ceil().to_integer().to_i64().unwrap_or(0)));
        let mut wrong = Vec::new();
        for (expr, whole, [near, far]) in axes {
            let at = expr
                .as_ref()
                .and_then(|expr| Some((expr, self.value(expr)?)));
            let Some((expr, at)) = at else { continue };
            // A hole from one edge to the other leaves two pieces.
            let half = |expr| Some((expr, self.value(expr)?.half()?.least));
            if let Some((expr, radius)) = mark.diameter.as_ref().and_then(half)
                && at.most <= radius
                && at.least + radius >= whole.most
            {
                let (on, size) = (on.to_owned(), show(whole.most));
                wrong.push((expr, WrongPlace::Through { on, size }));
                continue;
            }
            let (by, edge) = match (at.least < zero, at.most > whole.most) {
                (true, _) => (-at.least, near),
                (_, true) => (at.most - whole.most, far),
                _ => continue,
            };
            let off = WrongPlace::Off {
                by: show(by),
                edge: edge.clone(),
                on: on.to_owned(),
                size: show(whole.most),
            };
            wrong.push((expr, off));
        }
        if let Some(expr) = &mark.diameter
            && self.value(expr).is_some_and(|it| it.least <= zero)
        {
            wrong.push((expr, WrongPlace::NoHole));
        }
        let about = (&self.view.parts.expanded.model, self.view.parts.album);
        let wrong = wrong
            .into_iter()
            .map(|(expr, wrong)| PlaceError::new(about, (&mark.name, wrong), (expr, &self.scope)));
        let wrong: Vec<PlaceError> = wrong.collect();
        self.wrong.extend(wrong);
    }

    /// How far papers and inserts stand out of the frame.
    fn out(&self, laid: &[Laid]) -> [Length; 4] {
        let (width, height) = (self.width.drawn(), self.height.drawn());
        let pieces = laid
            .iter()
            .filter(|part| matches!(part.what, What::Insert(..) | What::Paper(_)));
        let areas = pieces.map(|part| part.area);
        let most = areas.fold([0; 4], |most: [i64; 4], area| {
            let out = [
                -area.left,
                area.right - width,
                -area.low,
                area.high - height,
            ];
            [0, 1, 2, 3].map(|n| most[n].max(out[n]))
        });
        most.map(Length::from_nm)
    }

    /// Fills in the sentences of the parts.
    fn say(&self, frame: &Frame, laid: &mut [Laid]) {
        let names: Vec<String> = laid.iter().map(|part| part.name.clone()).collect();
        for part in laid {
            if let What::Insert(..) = part.what {
                continue;
            }
            let mut rules = frame.on.iter().filter(|on| on.name == part.name);
            let Some(on) = rules.find(|on| self.holds(&on.when)) else {
                continue;
            };
            let under = part.runs_under;
            let fill = |path: &Path| match path.0 == ["part", "runs_under"] {
                true => under.map(Piece::Length),
                false => None,
            };
            let first = |all: &[Sentence]| all.iter().find_map(|s| self.sentence(s, &fill));
            let (note, glue, says) = (first(&on.note), first(&on.glue), first(&on.says));
            let joined = on
                .joined
                .as_ref()
                .and_then(|(edge, name)| Some((*edge, names.iter().position(|it| it == name)?)));
            let into = match &on.kind {
                Kind::Slot(slot) => slot.into.as_deref().map(Phrase::words),
                _ => None,
            };
            let glue = glue.or(into);
            (part.note, part.glue, part.says, part.joined) = (note, glue, says, joined);
        }
    }

    /// A sentence with its values; `None` if it does not apply, or a value is not known. `fill` knows
    /// names that only stand here.
    fn sentence(
        &self,
        sentence: &Sentence,
        fill: &dyn Fn(&Path) -> Option<Piece>,
    ) -> Option<Phrase> {
        if !self.holds(&sentence.when) {
            return None;
        }
        let pieces = sentence.say.iter().map(|words| match words {
            Words::Plain(text) => Some(Piece::Words(text.clone())),
            Words::Left | Words::Right | Words::Off => None,
            Words::Value(expr) => {
                let named = match &expr.node {
                    Node::Name(path) => fill(path),
                    _ => None,
                };
                match named {
                    Some(piece) => Some(piece),
                    None => self.value(expr)?.interval().map(Piece::Length),
                }
            }
        });
        pieces.collect::<Option<Vec<Piece>>>().map(Phrase)
    }
}
