//! Parts on their frame: their ends, what is tucked into them, what hides what, what they say.

use super::amount::{Amount, Ends};
use super::value::{Laying, Tucked};
use super::{Area, FramePlan, Grips, Laid, Marked, What, holes_met};
use crate::length::{Interval, Length};
use crate::plan::leaf;
use crate::plan::phrase::{Phrase, Piece};
use crate::scene::ThingId;
use crate::style::expr::{Expr, Node, Number, Path, Words};
use crate::style::parts::{Edge, End, Frame, Kind, Lies, MOST_MARKS, Mark, Part, Sentence};
use num_traits::{ToPrimitive, Zero};

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
        let (near, far, size) = match field {
            "width" => (&lies.left, &lies.right, &lies.width),
            _ => (&lies.low, &lies.high, &lies.height),
        };
        if let Some(size) = size {
            return self.end(size);
        }
        if own {
            return ends.of(field);
        }
        let at = |node: Node| Expr {
            node,
            place: Default::default(),
        };
        let far = match far {
            // A frame of the album is no thing with a name in scope.
            None => self.scope.0.first().map(|(frame, _)| {
                let name = vec![frame.clone(), field.to_owned()];
                at(Node::Name(Path(name)))
            }),
            Some(End::At(far)) => Some(far.clone()),
            Some(_) => None,
        };
        match (near, far) {
            (Some(End::At(near)), Some(far)) => {
                let (far, near) = (Box::new(far), Box::new(near.clone()));
                self.value(&at(Node::Subtract(far, near)))
            }
            _ => ends.of(field),
        }
    }

    fn lie(&self, lies: &Lies, own: [Option<Amount>; 2]) -> Option<Ends> {
        let across = [&lies.left, &lies.right, &lies.width];
        let up = [&lies.low, &lies.high, &lies.height];
        let (left, right) = self.along(across, own[0], self.width)?;
        let (low, high) = self.along(up, own[1], self.height)?;
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
        for on in &frame.on {
            if let Kind::Slot(slot) = &on.kind
                && self.holds(&on.when)
            {
                let here = self.inserts.iter().filter(|insert| {
                    let section = slot.section.as_ref();
                    insert.place == slot.place && section.is_none_or(|s| *s == insert.section)
                });
                let here = here.map(|insert| insert.index).collect();
                self.slots.entry(on.name.clone()).or_insert(here);
            }
        }
        let plies = |part: &Part| matches!(part.kind, Kind::Ply { .. });
        let last_ply = frame.on.iter().rposition(plies);
        let mut laid: Vec<Laid> = Vec::new();
        let mut all: Vec<Option<Ends>> = Vec::new();
        let mut sides = frame.sides.clone();
        // An end may speak of a part that stands behind it in the list: what cannot be worked out
        // yet is asked again.
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
        for (at, on) in frame.on.iter().enumerate() {
            let Some((what, own)) = self.present(on) else {
                continue;
            };
            let Some(ends) = self.lie(&on.lies, own) else {
                continue;
            };
            let back = last_ply.is_some_and(|last| at > last);
            if let Some(called) = &on.side {
                sides[usize::from(back)].clone_from(called);
            }
            let told = |amount: Option<Amount>| {
                amount
                    .and_then(Amount::side)
                    .unwrap_or(Interval::exact(Length::ZERO))
            };
            let outline = on
                .outline
                .iter()
                .filter_map(|(x, y)| Some((self.value(x)?.drawn(), self.value(y)?.drawn())));
            let outline: Vec<(i64, i64)> = outline.collect();
            let glued = on.glued.iter().filter_map(|(edge, wide)| {
                Some(strip(ends.area(), *edge, self.value(wide)?.drawn()))
            });
            let glued: Vec<Area> = glued.collect();
            all.push(Some(ends));
            laid.push(Laid {
                name: on.name.clone(),
                title: on.title.clone(),
                what,
                area: ends.area(),
                width: told(own[0].or_else(|| self.side(&on.lies, false, ends, "width"))),
                height: told(own[1].or_else(|| self.side(&on.lies, false, ends, "height"))),
                back,
                slot: None,
                behind: Vec::new(),
                runs_under: None,
                under: None,
                flat: matches!(on.kind, Kind::Paper { flat: true, .. }),
                outline,
                glued,
                joined: None,
                stops: match &on.kind {
                    Kind::Slot(slot) => match slot.opens {
                        Some(Edge::Low) => on.lies.high.is_some(),
                        Some(Edge::Left) => on.lies.right.is_some(),
                        Some(Edge::Right) => on.lies.left.is_some(),
                        Some(Edge::High) | None => on.lies.low.is_some(),
                    },
                    _ => on.lies.low.is_some(),
                },
                note: None,
                glue: None,
                says: None,
                edge: match &on.kind {
                    Kind::Slot(slot) => slot.edge.clone(),
                    _ => None,
                },
                mouth: match &on.kind {
                    Kind::Slot(slot) => slot.opens.and_then(|opens| {
                        let at = match opens {
                            Edge::Left => ends.left,
                            Edge::Right => ends.right,
                            Edge::Low => ends.low,
                            Edge::High => ends.high,
                        };
                        at.interval()
                    }),
                    _ => None,
                },
                measure: on.measure.as_ref().map(|words| {
                    let measured = match &on.kind {
                        Kind::Slot(slot) => match slot.opens {
                            Some(Edge::Left | Edge::Right) => {
                                self.side(&on.lies, false, ends, "width")
                            }
                            _ => self.side(&on.lies, false, ends, "height"),
                        },
                        _ => Some(ends.high),
                    };
                    (words.clone(), told(measured))
                }),
            });
            if let Kind::Slot(slot) = &on.kind {
                let gap = slot.gap.as_ref().and_then(|gap| self.value(gap));
                let inside = self.tuck(ends, slot.opens, gap, &on.name);
                let of = laid.len() - 1;
                for (index, copy, area) in inside {
                    let insert = &self.inserts[index];
                    all.push(None);
                    laid.push(Laid {
                        name: insert.name.clone(),
                        title: insert.name.clone(),
                        what: What::Insert(index, copy),
                        area,
                        width: told(Some(insert.width)),
                        height: told(Some(insert.height)),
                        back,
                        slot: Some(of),
                        behind: Vec::new(),
                        runs_under: None,
                        under: None,
                        flat: false,
                        outline: Vec::new(),
                        glued: Vec::new(),
                        joined: None,
                        stops: false,
                        note: None,
                        glue: None,
                        says: None,
                        edge: None,
                        mouth: None,
                        measure: None,
                    });
                }
            }
        }
        self.hide(&mut laid, &all);
        self.say(frame, &mut laid);
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
            width: self
                .width
                .interval()
                .unwrap_or(Interval::exact(Length::ZERO)),
            height: self
                .height
                .interval()
                .unwrap_or(Interval::exact(Length::ZERO)),
            marks: frame
                .marks
                .iter()
                .flat_map(|mark| self.marks(mark))
                .collect(),
            out: self.out(&laid),
            grips: self.grips(),
            parts: laid,
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
        }
    }

    /// Where the inserts of a slot lie: on its bottom, in the middle across; or, where it does not
    /// open, spread over it.
    fn tuck(
        &self,
        slot: Ends,
        opens: Option<Edge>,
        gap: Option<Amount>,
        name: &str,
    ) -> Vec<(usize, usize, Area)> {
        let inside = self.slots.get(name).map_or(&[][..], Vec::as_slice);
        let area = slot.area();
        let sides = |n: usize| {
            (
                self.inserts[n].width.drawn(),
                self.inserts[n].height.drawn(),
            )
        };
        let middle = |(from, to): (i64, i64), size: i64| from + ((to - from) - size) / 2;
        let (across, up) = ((area.left, area.right), (area.low, area.high));
        let Some(opens) = opens else {
            return self.spread(inside, area, gap.map_or(0, Amount::drawn));
        };
        let place = |n: &usize| {
            let (wide, high) = sides(*n);
            let (left, low) = match opens {
                Edge::High => (middle(across, wide), area.low),
                Edge::Low => (middle(across, wide), area.high - high),
                Edge::Right => (area.left, middle(up, high)),
                Edge::Left => (area.right - wide, middle(up, high)),
            };
            let area = Area {
                left,
                right: left + wide,
                low,
                high: low + high,
            };
            (*n, 0, area)
        };
        inside.iter().map(place).collect()
    }

    /// Pieces one above the other, the first highest; or side by side where only that has room.
    fn spread(&self, inside: &[usize], room: Area, gap: i64) -> Vec<(usize, usize, Area)> {
        let pieces = inside.iter().flat_map(|n| {
            let count = usize::try_from(self.inserts[*n].count).unwrap_or(1);
            (0..count.min(MOST_GLUED)).map(move |copy| (*n, copy))
        });
        let pieces: Vec<(usize, usize)> = pieces.take(MOST_GLUED).collect();
        let side = |pick: fn(&Tucked) -> Amount| {
            let sides = pieces.iter().map(|(n, _)| pick(&self.inserts[*n]).drawn());
            sides.collect::<Vec<i64>>()
        };
        let (wide, tall) = (side(|i| i.width), side(|i| i.height));
        let takes = |sides: &[i64]| sides.iter().sum::<i64>() + gap * (sides.len() as i64 - 1);
        let in_a_row =
            takes(&tall) > room.high - room.low && takes(&wide) <= room.right - room.left;
        let along = match in_a_row {
            true => apart((room.left, room.right), gap, &wide),
            // From the head down.
            false => apart((-room.high, -room.low), gap, &tall),
        };
        let middle = |from: i64, to: i64, size: i64| from + ((to - from) - size) / 2;
        let place = |(at, n): (i64, usize)| {
            let (left, low) = match in_a_row {
                true => (at, middle(room.low, room.high, tall[n])),
                false => (middle(room.left, room.right, wide[n]), -at - tall[n]),
            };
            let area = Area {
                left,
                right: left + wide[n],
                low,
                high: low + tall[n],
            };
            (pieces[n].0, pieces[n].1, area)
        };
        along.into_iter().zip(0..).map(place).collect()
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
            let over = before
                .iter()
                .filter(|(_, it)| it.low <= low && it.high > low);
            let over = over
                .filter(|(n, _)| matches!(laid[*n].what, What::Ply(_)))
                .max_by_key(|(_, it)| it.high)
                .filter(|(n, it)| it.high <= high && matches!(laid[*n].what, What::Ply(_)));
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

    fn marks(&mut self, mark: &Mark) -> Vec<Marked> {
        let count = mark.count.as_ref().map_or(Some(1), |count| {
            self.value(count)?.middle.to_integer().to_i64()
        });
        let count = count.unwrap_or(0).clamp(0, MOST_MARKS);
        let scene = self.view.scene();
        let holes = self
            .leaf
            .and_then(|(id, _)| scene.thing(id).lists.get("holes"));
        let holes: Vec<ThingId> = match mark.diameter {
            Some(_) => holes.cloned().unwrap_or_default(),
            None => Vec::new(),
        };
        let met = holes_met(self.view.parts, self.leaf.map(|(id, _)| id), mark);
        let mut marked: Vec<Marked> = Vec::new();
        for place in 0..count {
            let thing = usize::try_from(place).ok().and_then(|n| holes.get(n));
            match thing {
                Some(thing) => self.scope.0.push((mark.name.clone(), *thing)),
                None => self.mark = Some((mark.name.clone(), place)),
            }
            let met = usize::try_from(place).ok().and_then(|n| met.get(n));
            self.scope.0.extend(met.cloned());
            let of = |expr: &Expr| self.value(expr)?.interval();
            if let Some(across) = of(&mark.across) {
                marked.push(Marked {
                    name: mark.name.clone(),
                    titles: mark.titles.clone(),
                    lay: mark.lay.clone(),
                    note: None,
                    across,
                    up: mark.up.as_ref().and_then(of),
                    diameter: mark.diameter.as_ref().and_then(of),
                });
            }
            for _ in thing.into_iter().chain(met.map(|(_, hole)| hole)) {
                self.scope.0.pop();
            }
            self.mark = None;
        }
        let heights: Vec<Interval> = marked.iter().filter_map(|it| it.up).collect();
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

/// So wide a strip of an area at one of its edges.
fn strip(area: Area, edge: Edge, wide: i64) -> Area {
    match edge {
        Edge::Left => Area {
            right: area.right.min(area.left + wide),
            ..area
        },
        Edge::Right => Area {
            left: area.left.max(area.right - wide),
            ..area
        },
        Edge::Low => Area {
            high: area.high.min(area.low + wide),
            ..area
        },
        Edge::High => Area {
            low: area.low.max(area.high - wide),
            ..area
        },
    }
}

/// More pieces on one back are not drawn.
const MOST_GLUED: usize = 24;

/// Where each of some lengths begins: evenly apart in the room that they have, and from each other by
/// a gap at least; where they have too little, over each other from one end of it to the other.
fn apart((from, to): (i64, i64), gap: i64, lengths: &[i64]) -> Vec<i64> {
    let more = lengths.len() as i64 - 1;
    let spare = to - from - lengths.iter().sum::<i64>();
    if spare < gap * more {
        let places = lengths.iter().zip(0..);
        let place = |(length, n): (&i64, i64)| from + (to - from - length) * n / more.max(1);
        return places.map(place).collect();
    }
    let apart = gap.max(spare / (more + 2));
    let mut at = from + (spare - apart * more) / 2;
    let begin = |length: &i64| {
        let here = at;
        at += length + apart;
        here
    };
    lengths.iter().map(begin).collect()
}
