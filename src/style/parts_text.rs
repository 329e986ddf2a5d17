//! Reading the tables of a style that say what an album is made of: `[[part]]`, `[name]`, `[[step]]`.

use super::expr::{Expr, Words};
use super::grammar;
use super::parts::*;
use super::shapes::{
    BOUND, EDGE_WORDS, ENDS, GLUED, JOINED, MARK, OPENS, PART, ROW, SENTENCE, SHOWS, STEP,
    THICKENS, WHERE,
};
use super::steps::{Sentence, Step, Uses};
use super::text::Reader;
use super::{StyleError, Tells};
use crate::text::{self, Entry, Item, Kind as Wants, Node, Said, Table};
use crate::vocabulary;

impl Reader<'_> {
    /// The parts that stand in the file's own order.
    pub(super) fn parts(&self, table: &Table<'_>) -> Vec<Part> {
        let tables = table.tables("part", &PART);
        tables.iter().filter_map(|t| self.part(t)).collect()
    }

    /// What lies on a part. Only a part of its own is a frame.
    fn parts_on(&self, table: &Table<'_>, on: &str) -> Vec<Part> {
        let rows = table.tables("on", &PART);
        for row in &rows {
            let own = FRAME.into_iter().find(|key| row.get(key).is_some());
            if let Some(key) = own
                && let Some(name) = row.name("name")
            {
                let (name, place, on) = (name.value, name.place, on.to_owned());
                let wrong = StyleError::NotOn { name, on, key };
                self.faults.tell(place, wrong);
            }
        }
        rows.iter().filter_map(|row| self.part(row)).collect()
    }

    fn part(&self, table: &Table<'_>) -> Option<Part> {
        let name = table.name("name");
        let when = self.conditions(table);
        let lies = Lies {
            left: self.end(table, "left"),
            right: self.end(table, "right"),
            width: self.end(table, "width"),
            low: self.end(table, "low"),
            high: self.end(table, "high"),
            height: self.end(table, "height"),
        };
        let kind = self.kind(table);
        let outline = self.outline(table);
        let joined = table.table("joined", &JOINED);
        let joined = joined.and_then(|at| {
            let words = WHERE.iter().map(|(key, edge)| (*edge, at.text(key)));
            let mut words = words.filter_map(|(edge, said)| Some((edge, said?.value)));
            words.next()
        });
        let glued = table.table("glued", &GLUED);
        let glued = glued.map_or(Vec::new(), |at| {
            let wide = WHERE.iter().map(|(key, edge)| (*edge, self.expr(&at, key)));
            wide.filter_map(|(edge, wide)| Some((edge, wide?)))
                .collect()
        });
        let [note, glue] = ["lies", "glue"].map(|key| self.sentences(table, key));
        let says = self.sentences(table, "says");
        let name = name?;
        // Of a frame these two may be lists.
        let [title, measure] = ["title", "measure"].map(|key| {
            table.get(key)?.text()?;
            Some(table.text(key)?.value)
        });
        let side = table.text("side").map(|said| said.value);
        Some(Part {
            when: when?,
            title: title.unwrap_or_else(|| name.value.replace('_', " ")),
            lies,
            kind: kind?,
            outline,
            note,
            glue,
            glued,
            says,
            joined,
            measure,
            side,
            place: name.place,
            name: name.value,
        })
    }

    /// What kind of part a table says: its keys tell.
    fn kind(&self, table: &Table<'_>) -> Option<Kind> {
        let told = |key: &str| table.get(key).is_some();
        if told("opens") {
            let opens = table.choice("opens", &OPENS);
            table.need("place");
            let place = table.name("place");
            let section = table.name("section").map(|said| said.value);
            let text = |key| table.text(key).map(|said| said.value);
            let (edge, into) = (text("edge"), text("into"));
            let gap = self.expr(table, "gap");
            return Some(Kind::Slot(Slot {
                opens: opens?.value,
                place: place?.value,
                section,
                edge,
                into,
                gap,
            }));
        }
        if told("plies") {
            return Some(Kind::Ply {
                layers: self.expr(table, "plies")?,
            });
        }
        if FRAME.iter().any(|key| told(key)) {
            return self.frame(table).map(|frame| Kind::Frame(Box::new(frame)));
        }
        let thickens = table.choice("thickens", &THICKENS);
        Some(Kind::Paper {
            usual: self.usual(table),
            flat: table.flag("flat").unwrap_or(true),
            thickens: thickens.map_or(Thickens::All, |said| said.value),
        })
    }

    fn usual(&self, table: &Table<'_>) -> bool {
        const USUAL: [(&str, bool); 2] = [("any", true), ("none", false)];
        let usual = table.choice("usual", &USUAL);
        usual.is_none_or(|said| said.value)
    }

    fn frame(&self, table: &Table<'_>) -> Option<Frame> {
        let count = self.expr(table, "count");
        let bound = table.choice("bound", &BOUND);
        let own = table.name("name")?.value;
        let name = own.replace('_', " ");
        let edges = table.table("edges", &EDGE_WORDS);
        let edges = WHERE.map(|(key, _)| {
            let said = edges.and_then(|t| t.text(key));
            said.map_or_else(|| format!("{key} edge"), |said| said.value)
        });
        Some(Frame {
            from: table
                .choice("from", &[("bags", "bags")])
                .map(|it| it.value.to_owned()),
            usual: self.usual(table),
            count,
            bound: bound.map_or(Bound::No, |said| said.value),
            titles: self.titles(table, name),
            sides: self
                .two(table, "sides")
                .unwrap_or(["front".to_owned(), "back".to_owned()]),
            edges,
            measures: self.two(table, "measure"),
            faces: table.text("faces").map(|said| said.value),
            on: self.parts_on(table, &own),
            marks: self.marks(table),
        })
    }

    /// One of a thing and several; where its style does not say it, as its name is in most words.
    fn titles(&self, table: &Table<'_>, name: String) -> [String; 2] {
        self.two(table, "title").unwrap_or_else(|| {
            let mut lists = vocabulary::LISTS.iter();
            let many = match lists.find(|(of, _, one)| of.is_empty() && *one == name) {
                Some((_, many, _)) => (*many).to_owned(),
                None if name.ends_with(['s', 'x']) => format!("{name}es"),
                None => format!("{name}s"),
            };
            [name, many]
        })
    }

    /// A list of two texts; `None` if the key is absent or one text.
    fn two(&self, table: &Table<'_>, key: &str) -> Option<[String; 2]> {
        let Node::List(_) = table.get(key)?.node else {
            return None;
        };
        let texts = table.texts(key);
        let texts: Vec<String> = texts.into_iter().map(|said| said.value).collect();
        match <[String; 2]>::try_from(texts) {
            Ok(two) => Some(two),
            Err(_) => {
                self.wrong(table, key, Wants::Texts);
                None
            }
        }
    }

    fn wrong(&self, table: &Table<'_>, key: &str, wants: Wants) {
        if let Some(item) = table.get(key) {
            table.wrong(key, item, wants);
        }
    }

    fn marks(&self, table: &Table<'_>) -> Vec<Mark> {
        let tables = table.tables("marks", &MARK);
        tables.iter().filter_map(|t| self.mark(t)).collect()
    }

    fn mark(&self, table: &Table<'_>) -> Option<Mark> {
        let name = table.name("name");
        let count = self.expr(table, "count");
        let across = self.expr(table, "across");
        let up = self.expr(table, "up");
        let diameter = self.expr(table, "diameter");
        let within = self.each(&table.texts("within"), grammar::read_expr);
        let within = match within?.as_slice() {
            [] => None,
            [low, high] => Some((low.clone(), high.clone())),
            _ => {
                self.wrong(table, "within", Wants::Texts);
                None
            }
        };
        let name = name?;
        let plain = name.value.replace('_', " ");
        Some(Mark {
            titles: self.titles(table, plain),
            count,
            across,
            within,
            up,
            diameter,
            lay: table.text("lay").map(|said| said.value),
            note: self.sentences(table, "lies"),
            place: name.place,
            name: name.value,
        })
    }

    /// An expression at a key.
    fn expr(&self, table: &Table<'_>, key: &str) -> Option<Expr> {
        self.at(table, key, grammar::read_expr)
    }

    /// An expression, or `{ most = [...] }` or `{ least = [...] }`.
    fn end(&self, table: &Table<'_>, key: &str) -> Option<End> {
        match &table.get(key)?.node {
            Node::Table(_) => {
                let inner = table.table(key, &ENDS)?;
                self.most_or_least(&inner)
            }
            _ => self.expr(table, key).map(End::At),
        }
    }

    fn most_or_least(&self, table: &Table<'_>) -> Option<End> {
        let read = |key: &str| {
            let all = self.each(&table.texts(key), grammar::read_expr);
            all.filter(|all| !all.is_empty())
        };
        match (read("most"), read("least")) {
            (Some(all), None) => Some(End::Most(all)),
            (None, Some(all)) => Some(End::Least(all)),
            _ => {
                self.faults.tell(table.place, StyleError::MostOrLeast);
                None
            }
        }
    }

    fn outline(&self, table: &Table<'_>) -> Vec<(Expr, Expr)> {
        let Some(item) = table.get("outline") else {
            return Vec::new();
        };
        let corners = match &item.node {
            Node::List(corners) if corners.len() <= MOST_CORNERS => corners.as_slice(),
            _ => &[],
        };
        let mut all = Vec::new();
        for corner in corners {
            if let Node::List(two) = &corner.node
                && let [x, y] = two.as_slice()
                && let (Some(x), Some(y)) = (x.text(), y.text())
            {
                let x = self.parse(&x, grammar::read_expr);
                let y = self.parse(&y, grammar::read_expr);
                all.extend(x.zip(y));
            }
        }
        if all.len() != corners.len() || all.len() < 3 {
            self.faults.tell(item.place, StyleError::Outline);
        }
        all
    }

    /// The names that follow from others.
    pub(super) fn name_rules(&self, table: &Table<'_>) -> Vec<NameRule> {
        let pairs = table.pairs_of("name", is_row).into_iter();
        let rules = pairs.filter_map(|(key, item)| {
            let path = self.read(&key, grammar::read_path);
            let rows = item.each().iter().map(|item| self.row(&key, item));
            let rows: Vec<Option<Row>> = rows.collect();
            let rows: Option<Vec<Row>> = rows.into_iter().collect();
            Some(NameRule {
                name: path?,
                rows: rows?,
                place: key.place,
            })
        });
        rules.collect()
    }

    fn row(&self, key: &Said<String>, item: &Item) -> Option<Row> {
        if let Some(said) = item.text() {
            return Some(Row {
                when: Vec::new(),
                is: Is::Value(End::At(self.parse(&said, grammar::read_expr)?)),
                assumed: None,
                tells: Tells::default(),
                place: item.place,
            });
        }
        let Node::Table(entries) = &item.node else {
            let key = &key.value;
            let example = format!("\"{key}\" = 'leaf.width / 2'");
            text::wrong(key, item, Wants::Text, example, self.faults);
            return None;
        };
        let inner = Table::open(entries, item.place, &ROW, self.faults);
        if !entries.iter().all(|entry| ROW.has(&entry.key.value)) {
            return None;
        }
        let when = self.conditions(&inner);
        let is = match (inner.get("is"), inner.get("holds")) {
            (Some(_), None) => self.expr(&inner, "is").map(|e| Is::Value(End::At(e))),
            (None, Some(_)) => {
                let texts = self.one_or_more(&inner, "holds");
                self.each(&texts, grammar::read_condition).map(Is::Holds)
            }
            _ if ["most", "least"].iter().all(|key| inner.get(key).is_none()) => {
                inner.lacks("is");
                None
            }
            _ => self.most_or_least(&inner).map(Is::Value),
        };
        let assumed = inner.text("assumed");
        Some(Row {
            when: when?,
            is: is?,
            assumed: assumed.map(|said| said.value),
            tells: self.tells(&inner),
            place: item.place,
        })
    }

    /// The steps of the work.
    pub(super) fn steps(&self, table: &Table<'_>) -> Vec<Step> {
        let tables = table.tables("step", &STEP);
        tables.iter().filter_map(|t| self.step(t)).collect()
    }

    fn step(&self, table: &Table<'_>) -> Option<Step> {
        let uses = match table.text("use") {
            None => None,
            Some(said) => match Uses::of(&said.value) {
                None => {
                    let (text, place) = (said.value, said.place);
                    self.faults.tell(place, StyleError::Uses { text });
                    return None;
                }
                uses => uses,
            },
        };
        let shows = table.choice("shows", &SHOWS);
        Some(Step {
            title: table.text("title").map(|said| said.value),
            does: self.sentences(table, "do"),
            checks: self.sentences(table, "check"),
            care: self.words_at(table, "care"),
            needs: self.needs(table),
            none: table.text("none").map(|said| said.value),
            uses,
            minutes: self.expr(table, "minutes"),
            shows: shows.map(|said| said.value),
            place: table.place,
        })
    }

    fn words_at(&self, table: &Table<'_>, key: &str) -> Option<Vec<Words>> {
        self.at(table, key, grammar::read_words)
    }

    fn needs(&self, table: &Table<'_>) -> Vec<Vec<Words>> {
        let texts = table.texts("needs");
        let each = texts.iter();
        each.filter_map(|said| self.parse(said, grammar::read_words))
            .collect()
    }

    /// One sentence or several: each a text, or a table.
    fn sentences(&self, table: &Table<'_>, key: &str) -> Vec<Sentence> {
        let Some(item) = table.get(key) else {
            return Vec::new();
        };
        let each = item.each().iter();
        each.filter_map(|item| self.sentence(table, key, item))
            .collect()
    }

    fn sentence(&self, table: &Table<'_>, key: &str, item: &Item) -> Option<Sentence> {
        if let Some(said) = item.text() {
            return Some(Sentence {
                say: self.parse(&said, grammar::read_words)?,
                place: item.place,
                ..Sentence::default()
            });
        }
        let Node::Table(entries) = &item.node else {
            table.wrong(key, item, Wants::Text);
            return None;
        };
        let inner = Table::open(entries, item.place, &SENTENCE, self.faults);
        let bindings = self.bindings(&inner);
        let when = self.conditions(&inner);
        let say = self.words_at(&inner, "say");
        Some(Sentence {
            bindings: bindings?,
            when: when?,
            say: say?,
            once: inner.flag("once").unwrap_or(false),
            head: self.words_at(&inner, "head"),
            join: inner.text("join").map(|said| said.value),
            needs: self.needs(&inner),
            place: item.place,
        })
    }
}

/// What says that a part is a frame.
const FRAME: [&str; 7] = ["on", "marks", "bound", "sides", "edges", "from", "count"];

/// More corners are no outline that a hand cuts.
const MOST_CORNERS: usize = 12;

/// Whether a table says one row of a name, and is no part of a dotted name.
fn is_row(entry: &Entry) -> bool {
    let whole = entry.key.value.contains('.');
    whole
        || matches!(&entry.item.node, Node::Table(inner) if inner.first().is_some_and(|it| ROW.has(&it.key.value)))
}
