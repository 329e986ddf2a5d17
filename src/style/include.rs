//! A style built on others: what it includes comes first, what it says itself replaces or joins it.
//!
//! Works on the tables as they are written, before anything in them is read, so that every place
//! points into the file in which it stands. May import `text` and `style::shipped`.

use super::StyleError;
use super::origin::Origin;
use super::shapes::STYLE;
use super::shipped::{can_include, included};
use crate::text::{self, Entry, Fault, Files, Finds, Item, Node, Place, Problem};
use std::cmp::Ordering;

/// Styles included in each other, and the deepest of them.
const DEEPEST: usize = 8;

/// Files that one style takes over, each as often as it is named.
pub(super) const MOST_FILES: usize = 64;

/// Tables of a style in which rows have names.
const NAMED: [&str; 5] = ["part", "unknown", "choice", "rule", "step"];

/// Gives the bytes of a file beside the style; else says why there are none.
pub type Load<'a> = dyn FnMut(&str) -> Result<Vec<u8>, String> + 'a;

/// Whether a file that is only taken over if it is asked for is, by its text.
pub(super) type Asked<'a> = dyn Fn(&str) -> bool + 'a;

/// The tables of a style with all that it includes.
pub(super) struct Taken {
    pub entries: Vec<Entry>,
    /// Some of what it may take over was left out, as nobody asked for it.
    pub left_out: bool,
    pub from: Origin,
}

/// The tables of a style with all that it includes. Absent where a file cannot be read.
pub(super) fn entries(
    files: &mut Files,
    file: u32,
    load: &mut Load<'_>,
    asked: Option<&Asked<'_>>,
    faults: &Finds,
) -> Option<Taken> {
    let mut taking = Taking {
        files,
        load,
        asked,
        open: Vec::new(),
        joined: Vec::new(),
        left_out: false,
        from: Origin::default(),
        faults,
    };
    let mut entries = taking.entries(file)?;
    let lists = entries.iter_mut();
    for entry in lists.filter(|entry| NAMED.contains(&entry.key.value.as_str())) {
        if let Node::List(rows) = &mut entry.item.node {
            taking.settle(rows);
        }
    }
    Some(Taken {
        entries,
        left_out: taking.left_out,
        from: taking.from,
    })
}

/// What is taken over from other files while a style is read.
struct Taking<'a, 'l> {
    files: &'a mut Files,
    load: &'a mut Load<'l>,
    asked: Option<&'a Asked<'a>>,
    /// Files that are read, one in the other.
    open: Vec<String>,
    /// What was taken over behind the tables of a style.
    joined: Vec<String>,
    left_out: bool,
    from: Origin,
    faults: &'a Finds,
}

impl Taking<'_, '_> {
    fn entries(&mut self, file: u32) -> Option<Vec<Entry>> {
        let mut own = text::read(self.files, file, &STYLE, self.faults)?;
        let [include, also, without] =
            ["include", "also", "without"].map(|key| taken(&mut own, key));
        let (mut base, mut lost): (Vec<Entry>, bool) = (Vec::new(), false);
        for (name, place) in names(include.as_ref(), "include", self.faults) {
            match self.opened(&name, place) {
                Some(inner) => base = joined(base, self.inside(name, inner)?, self.faults),
                None => lost = true,
            }
        }
        // What it has is not known, and so neither what this one lacks.
        if lost {
            return None;
        }
        self.without(&mut base, without.as_ref());
        base = joined(base, own, self.faults);
        match also.map(|also| (also.place, also.node)) {
            None => {}
            Some((_, Node::Table(also))) => {
                for entry in also {
                    base = self.also(base, entry)?;
                }
            }
            Some((place, _)) => self.faults.tell(place, StyleError::Also),
        }
        Some(base)
    }

    /// Takes a file over behind the tables of a style, if it is asked for, and then what the style says of it.
    fn also(&mut self, mut base: Vec<Entry>, entry: Entry) -> Option<Vec<Entry>> {
        let (name, place) = (entry.key.value, entry.key.place);
        let Some(inner) = self.opened(&name, place) else {
            return Some(base);
        };
        let asked = self.asked.is_none_or(|asked| asked(self.files.text(inner)));
        if !asked && !self.joined.contains(&name) {
            self.left_out = true;
            return Some(base);
        }
        if !self.joined.contains(&name) {
            self.joined.push(name.clone());
            let mut entries = self.inside(name, inner)?;
            // What a style is called is its own to say.
            entries
                .retain(|it| !base.iter().any(|own| own.key.value == it.key.value) || is_table(it));
            base = joined(base, entries, self.faults);
        }
        let Node::Table(mut more) = entry.item.node else {
            self.faults.tell(place, StyleError::Also);
            return Some(base);
        };
        let without = taken(&mut more, "without");
        self.without(&mut base, without.as_ref());
        Some(joined(base, more, self.faults))
    }

    /// A file that is opened only once.
    fn opened(&mut self, name: &str, place: Place) -> Option<u32> {
        if self.open.iter().any(|it| it == name) || self.open.len() >= DEEPEST {
            let name = name.to_owned();
            self.faults.tell(place, StyleError::IncludeCircle { name });
            return None;
        }
        match self.from.files.len().cmp(&MOST_FILES) {
            Ordering::Less => {}
            Ordering::Equal => self.faults.tell(place, StyleError::ManyFiles),
            Ordering::Greater => return None,
        }
        let file = opened(self.files, name, place, self.load, self.faults)?;
        self.from.files.push((file, name.to_owned(), place));
        Some(file)
    }

    /// Rows that stood in no list yet when they were read go before the rows that they name.
    fn settle(&self, rows: &mut [Item]) {
        for at in 0..rows.len() {
            for key in ["on", "marks"] {
                if let Some(Node::List(inner)) = value_mut(&mut rows[at], key) {
                    self.settle(inner);
                }
            }
            let Some((name, place)) = before(&mut rows[at], self.faults) else {
                continue;
            };
            match rows.iter().position(|it| row_name(it) == Some(&name)) {
                Some(to) if to < at => rows[to..=at].rotate_right(1),
                Some(to) => rows[at..to].rotate_left(1),
                None => self.from.no_row(name, place, self.faults),
            }
        }
    }

    fn inside(&mut self, name: String, file: u32) -> Option<Vec<Entry>> {
        self.open.push(name);
        let entries = self.entries(file);
        self.open.pop();
        entries
    }

    fn without(&mut self, base: &mut [Entry], without: Option<&Item>) {
        for (name, place) in names(without, "without", self.faults) {
            match left_out(base, &name) {
                true => self.from.without.push((name, place)),
                false => self.faults.tell(place, StyleError::WithoutNothing { name }),
            }
        }
    }
}

/// A style that comes with the program, or a file beside this one.
fn opened(
    files: &mut Files,
    name: &str,
    place: Place,
    load: &mut Load<'_>,
    faults: &Finds,
) -> Option<u32> {
    if let Some(text) = included(name) {
        return Some(files.add(format!("style {name}"), text));
    }
    if !name.ends_with(".toml") {
        let known = can_include().collect();
        let name = name.to_owned();
        faults.tell(place, StyleError::NoInclude { name, known });
        return None;
    }
    let read = load(name).map_err(|reason| {
        let path = name.to_owned();
        Box::new(StyleError::IncludeFile { path, reason }.at(place)) as Box<dyn Fault>
    });
    let file = read.and_then(|bytes| {
        text::decode(files, name, bytes).map_err(|fault| Box::new(fault) as Box<dyn Fault>)
    });
    match file {
        Ok(file) => Some(file),
        Err(fault) => {
            faults.extend([fault]);
            None
        }
    }
}

fn is_table(entry: &Entry) -> bool {
    matches!(entry.item.node, Node::Table(_)) || NAMED.contains(&entry.key.value.as_str())
}

fn taken(entries: &mut Vec<Entry>, key: &str) -> Option<Item> {
    let at = entries.iter().position(|entry| entry.key.value == key)?;
    Some(entries.remove(at).item)
}

fn names(item: Option<&Item>, key: &str, faults: &Finds) -> Vec<(String, Place)> {
    let Some(item) = item else { return Vec::new() };
    let said = text::names_of(key, item, "[\"upright\"]", faults);
    said.into_iter()
        .map(|said| (said.value, said.place))
        .collect()
}

/// Takes a quantity, a name, or a row of that name out; false where there is none.
fn left_out(base: &mut [Entry], name: &str) -> bool {
    let mut found = false;
    for entry in base {
        match &mut entry.item.node {
            Node::Table(inner) => {
                let before = inner.len();
                inner.retain(|it| it.key.value != name);
                found |= inner.len() < before;
            }
            Node::List(rows) if NAMED.contains(&entry.key.value.as_str()) => {
                found |= without(rows, name);
            }
            _ => {}
        }
    }
    found
}

/// Takes rows of that name out of a list, and out of what lies on its rows.
fn without(rows: &mut Vec<Item>, name: &str) -> bool {
    let before = rows.len();
    rows.retain(|row| row_name(row) != Some(name));
    let mut found = rows.len() < before;
    for row in rows {
        for key in ["on", "marks"] {
            if let Some(Node::List(inner)) = value_mut(row, key) {
                found |= without(inner, name);
            }
        }
    }
    found
}

fn value<'i>(row: &'i Item, key: &str) -> Option<&'i Node> {
    let Node::Table(entries) = &row.node else {
        return None;
    };
    let entry = entries.iter().find(|entry| entry.key.value == key)?;
    Some(&entry.item.node)
}

fn value_mut<'i>(row: &'i mut Item, key: &str) -> Option<&'i mut Node> {
    let Node::Table(entries) = &mut row.node else {
        return None;
    };
    let entry = entries.iter_mut().find(|entry| entry.key.value == key)?;
    Some(&mut entry.item.node)
}

/// A row is known by its name; a step by its title.
fn row_name(row: &Item) -> Option<&str> {
    match value(row, "name").or_else(|| value(row, "title"))? {
        Node::Text(text) => Some(text),
        _ => None,
    }
}

/// The tables of a style over those that it includes.
fn joined(mut base: Vec<Entry>, own: Vec<Entry>, faults: &Finds) -> Vec<Entry> {
    for entry in own {
        let key = entry.key.value.as_str();
        let Some(before) = base.iter_mut().find(|it| it.key.value == key) else {
            base.push(entry);
            continue;
        };
        match (&mut before.item.node, entry.item.node) {
            (Node::Table(all), Node::Table(more)) => {
                for one in more {
                    all.retain(|it| it.key.value != one.key.value);
                    all.push(one);
                }
            }
            (Node::List(all), Node::List(more)) if NAMED.contains(&key) => rows(all, more, faults),
            (_, node) => {
                before.item.node = node;
                before.item.place = entry.item.place;
                before.key = entry.key;
            }
        }
    }
    base
}

/// Rows over included ones: those of a name that is there replace them, where the first of them
/// stands; a frame's own parts join those that lie on it; others come last, or before the row that
/// `before` names.
fn rows(all: &mut Vec<Item>, more: Vec<Item>, faults: &Finds) {
    let mut replaced: Vec<String> = Vec::new();
    for mut row in more {
        let before = before(&mut row, faults);
        let name = row_name(&row).map(str::to_owned);
        let at = match (&before, &name) {
            (Some((before, place)), _) => {
                let at = all.iter().position(|it| row_name(it) == Some(before));
                if at.is_none() {
                    let (name, place) = (before.clone(), *place);
                    faults.tell(place, StyleError::BeforeNothing { name });
                }
                at
            }
            (None, Some(name)) => all.iter().position(|it| row_name(it) == Some(name)),
            (None, None) => None,
        };
        match (at, name) {
            (Some(at), Some(name)) if before.is_none() => {
                if value(&all[at], "on").is_some() {
                    frame(&mut all[at], row, faults);
                } else if replaced.contains(&name) {
                    // One more of the same name.
                    let last = all.iter().rposition(|it| row_name(it) == Some(&name));
                    all.insert(last.map_or(at, |last| last + 1), row);
                } else {
                    all[at] = row;
                    let mut first = true;
                    all.retain(|it| {
                        row_name(it) != Some(&name) || std::mem::replace(&mut first, false)
                    });
                    replaced.push(name);
                }
            }
            (Some(at), _) => all.insert(at, row),
            (None, name) => {
                replaced.extend(name);
                all.push(row);
            }
        }
    }
}

/// The row before which a row says that it stands, and where.
fn before(row: &mut Item, faults: &Finds) -> Option<(String, Place)> {
    let Node::Table(entries) = &mut row.node else {
        return None;
    };
    let item = taken(entries, "before")?;
    if let Node::Text(name) = item.node {
        return Some((name, item.place));
    }
    let example = "before = \"rear\"".to_owned();
    text::wrong("before", &item, text::Kind::Text, example, faults);
    None
}

/// A frame's keys replace those of the included one; what lies on it joins.
fn frame(base: &mut Item, row: Item, faults: &Finds) {
    let (Node::Table(all), Node::Table(more)) = (&mut base.node, row.node) else {
        return;
    };
    for entry in more {
        let key = entry.key.value.as_str();
        match all.iter_mut().find(|it| it.key.value == key) {
            None => all.push(entry),
            Some(before) => match (&mut before.item.node, entry.item.node) {
                (Node::List(parts), Node::List(more)) if ["on", "marks"].contains(&key) => {
                    rows(parts, more, faults);
                }
                (_, node) => {
                    before.item.node = node;
                    before.item.place = entry.item.place;
                }
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::style::Style;
    use crate::style::text::read_with;

    fn read(text: &str) -> Result<Style, Vec<String>> {
        let mut files = Files::default();
        let file = files.add("own.toml", text);
        let mut load = |path: &str| match path {
            "loop.toml" => Ok(b"style = \"loop\"\ninclude = [\"loop.toml\"]\n".to_vec()),
            other => Err(format!("there is no {other}")),
        };
        read_with(&mut files, file, &mut load)
            .map_err(|faults| faults.iter().map(ToString::to_string).collect())
    }

    fn upright() -> Style {
        read("style = \"own\"\ninclude = [\"upright\"]\n").expect("a style")
    }

    #[test]
    fn what_is_included_is_there_and_what_is_said_again_replaces_it() {
        let base = upright();
        assert_eq!(base.name, "own");
        let own = read(
            "style = \"own\"\ninclude = [\"upright\"]\nwithout = [\"band has its height\"]\n\
             [quantity]\nease = { value = \"1/4 in\", why = \"more play\" }\n\
             [[rule]]\nname = \"front mat leaves its side reveals\"\nfor = [\"leaf in leaves\"]\n\
             when = 'front_mat.wanted'\nrequire = 'front_mat.width + 4 * side_reveal <= leaf.width'\n\
             because = \"wide\"\nsource = \"ours\"\n",
        )
        .expect("a style");
        assert_eq!(own.rules.len() + 1, base.rules.len());
        let rule =
            |style: &Style, name: &str| style.rules.iter().position(|rule| rule.name == name);
        let name = "front mat leaves its side reveals";
        assert_eq!(rule(&own, name), rule(&base, name));
        assert_eq!(rule(&own, "band has its height"), None);
        let at = rule(&own, name).expect("it is there");
        assert_eq!(own.rules[at].source, "ours");
        assert_eq!(
            own.quantity("ease").map(|q| q.why.as_str()),
            Some("more play")
        );
        assert_eq!(own.quantities.len(), base.quantities.len());
    }

    #[test]
    fn parts_join_those_of_a_frame() {
        use crate::style::parts::{Kind, Part};
        let own = read(
            "style = \"own\"\ninclude = [\"upright\"]\n[[part]]\nname = \"leaf\"\n\
             sides = [\"face\", \"rear\"]\n\
             on = [{ name = \"lining\", before = \"rear\", plies = '1' }, { name = \"crease\", plies = '0' }]\n",
        )
        .expect("a style");
        fn on(style: &Style) -> (&[Part], &[String; 2]) {
            match &style.parts[0].kind {
                Kind::Frame(frame) => (&frame.on, &frame.sides),
                _ => panic!("no frame"),
            }
        }
        let base = upright();
        let (before, _) = on(&base);
        let (after, sides) = on(&own);
        assert_eq!(sides, &["face", "rear"]);
        assert_eq!(after.len(), before.len() + 1);
        let at = after
            .iter()
            .position(|p| p.name == "lining")
            .expect("joined");
        assert_eq!(after[at + 1].name, "rear");
        let crease = |parts: &[Part]| parts.iter().position(|p| p.name == "crease");
        assert_eq!(crease(after), crease(before));
        assert!(after[crease(after).expect("there")].when.is_empty());
    }

    #[test]
    fn what_cannot_be_included_is_told() {
        for (text, told) in [
            ("include = [\"uprihgt\"]", "there is no style `uprihgt`"),
            (
                "include = [\"mine.toml\"]",
                "`mine.toml` cannot be read: there is no mine.toml",
            ),
            ("include = [\"loop.toml\"]", "`loop.toml` includes itself"),
            (
                "include = [\"upright\"]\nwithout = [\"no such rule\"]",
                "no included style has `no such rule`",
            ),
            (
                "include = [\"upright\"]\n[[rule]]\nbefore = \"nothing\"\nname = \"a\"\nrequire = 'ease >= ease'\nbecause = \"a\"\nsource = \"a\"",
                "this list has no `nothing`",
            ),
        ] {
            let said = read(&format!("style = \"own\"\n{text}\n")).expect_err("it is refused");
            assert!(said.contains(&told.to_owned()), "{said:?}");
        }
    }
}
