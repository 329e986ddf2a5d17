//! Reading a style file: its tables, and the rules in them. Every problem is reported at once.

use super::expr::{Binding, Comparison, Condition, Path};
use super::grammar::{self, SyntaxError};
use super::include::{self, Load};
use super::shapes::{CHOICE, QUANTITY, RULE, STYLE, UNKNOWN};
use super::{unread, *};
use crate::text::{self, Fault, Faults, Files, Finds, Item, Node, Said, Table, TextError};
use crate::vocabulary::BASE;

/// Reads a style that includes none but shipped ones, and checks every name, dimension and product
/// in it.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn read(files: &mut Files, file: u32) -> Result<Style, Faults> {
    let none = "only a style in a file of its own can include files";
    read_with(files, file, &mut |_| Err(none.to_owned()))
}

/// Reads a style with all that it includes; `load` gives the bytes of a file beside it.
///
/// # Errors
/// Everything that is wrong with the files.
pub fn read_with(files: &mut Files, file: u32, load: &mut Load<'_>) -> Result<Style, Faults> {
    read_asked(files, file, load, None)
}

/// The same without files that it takes over only if they are asked for, and are not.
///
/// # Errors
/// Everything that is wrong with the files.
pub(super) fn read_asked(
    files: &mut Files,
    file: u32,
    load: &mut Load<'_>,
    asked: Option<&include::Asked<'_>>,
) -> Result<Style, Faults> {
    let faults = Finds::default();
    let mut beside = Vec::new();
    let mut load = |path: &str| {
        let bytes = load(path)?;
        beside.push((path.to_owned(), bytes.clone()));
        Ok(bytes)
    };
    let taken = include::entries(files, file, &mut load, asked, &faults);
    let style = taken.as_ref().map(|taken| {
        let place = Place::new(file, 0, 0);
        let table = Table::open(&taken.entries, place, &STYLE, &faults);
        let style = Reader { faults: &faults }.style(&table, file);
        let whole = taken.left_out.then(|| Whole {
            text: files.text(file).to_owned(),
            beside,
        });
        Style { whole, ..style }
    });
    let style = faults.or(style)?;
    match check::check(&style) {
        Ok(counts) => Ok(Style {
            counts,
            reads: unread::of_template(&style),
            ..style
        }),
        Err(wrong) => {
            let from = taken.map(|taken| taken.from).unwrap_or_default();
            let wrong = from
                .at_home(&style, wrong)
                .into_iter()
                .map(|e| Box::new(e) as Box<dyn Fault>);
            Err(wrong.collect())
        }
    }
}

pub(super) struct Reader<'f> {
    pub(super) faults: &'f Finds,
}

impl Reader<'_> {
    fn style(&self, table: &Table<'_>, file: u32) -> Style {
        let name = table.name("style");
        let name = name.map_or(String::new(), |said| said.value);
        let title = table.text("title");
        let title = title.map_or(name.clone(), |said| said.value);
        let quantities = self.quantities(table);
        let unknowns = table.tables("unknown", &UNKNOWN);
        let unknowns: Vec<UnknownRule> = unknowns.iter().filter_map(|t| self.unknown(t)).collect();
        let choices = table.tables("choice", &CHOICE);
        let choices: Vec<ChoiceRule> = choices.iter().filter_map(|t| self.choice(t)).collect();
        let rules = table.tables("rule", &RULE);
        let rules: Vec<Rule> = rules.iter().filter_map(|t| self.rule(t)).collect();
        let parts = self.parts(table);
        let names = self.name_rules(table);
        let steps = self.steps(table);
        let cautions = self.one_of(table, "cautions", &vocabulary::CAUTIONS);
        let easiest = self.easiest(table);
        self.twice("name", names.iter().map(|n| (n.name.to_string(), n.place)));
        let always = parts.iter().filter(|part| part.when.is_empty());
        self.twice("part", always.map(|part| (part.name.clone(), part.place)));
        // An unknown may be there twice, each with its own `when` and its own preference.
        let always = unknowns.iter().filter(|u| u.when.is_empty());
        self.twice("unknown", always.map(|u| (u.name.to_string(), u.place)));
        let chosen = choices.iter().map(|u| (u.name.to_string(), u.place));
        self.twice("choice", chosen);
        self.twice("rule", rules.iter().map(|u| (u.name.clone(), u.place)));
        Style {
            name,
            title,
            file,
            quantities,
            unknowns,
            choices,
            rules,
            parts,
            names,
            steps,
            words: table.text("words").map(|said| said.value),
            cautions: cautions.into_iter().map(|said| said.value).collect(),
            easiest,
            counts: BTreeSet::new(),
            reads: BTreeSet::new(),
            whole: None,
        }
    }

    /// What is the least trouble, in the style's own order.
    fn easiest(&self, table: &Table<'_>) -> Vec<Effort> {
        let said = self.one_of(table, "easiest", &Effort::NAMED.map(|(name, _)| name));
        let troubles = said.iter().map(|it| (it.value.clone(), it.place));
        self.twice("trouble", troubles);
        let named = Effort::NAMED.into_iter();
        let of = |said: &Said<String>| named.clone().find(|(name, _)| *name == said.value);
        let known = said.iter().filter_map(of);
        known.map(|(_, effort)| effort).collect()
    }

    /// A list of texts, each one of these.
    fn one_of(&self, table: &Table<'_>, key: &str, options: &[&'static str]) -> Vec<Said<String>> {
        let (known, other): (Vec<_>, Vec<_>) =
            (table.texts(key).into_iter()).partition(|said| options.contains(&said.value.as_str()));
        for said in other {
            let wrong = TextError::NoChoice {
                key: key.to_owned(),
                written: said.value,
                options: options.to_vec(),
            };
            self.faults.tell(said.place, wrong);
        }
        known
    }

    fn twice(&self, kind: &'static str, names: impl Iterator<Item = (String, Place)>) {
        let mut seen = std::collections::BTreeMap::new();
        for (name, place) in names {
            match seen.get(&name) {
                Some(&first) => self
                    .faults
                    .tell(place, StyleError::Twice { kind, name, first }),
                None => {
                    seen.insert(name, place);
                }
            }
        }
    }

    fn quantities(&self, table: &Table<'_>) -> Vec<Quantity> {
        let mut quantities = Vec::new();
        if let Some(item) = table.get("quantity") {
            let Node::Table(entries) = &item.node else {
                table.wrong("quantity", item, text::Kind::Table);
                return quantities;
            };
            for entry in entries {
                quantities.extend(self.quantity(&entry.key, &entry.item, table));
            }
        }
        for (name, inch, metric, why, measure) in BASE {
            if quantities.iter().any(|q| q.name == *name) {
                continue;
            }
            // The base is part of the program, and a test reads every line of it.
            if let (Ok(value), Ok(metric)) = (value(inch), value(metric)) {
                quantities.push(Quantity {
                    name: (*name).to_owned(),
                    value,
                    metric: Some(metric),
                    why: (*why).to_owned(),
                    measure: *measure,
                    give: None,
                    place: table.place,
                });
            }
        }
        quantities
    }

    fn quantity(&self, key: &Said<String>, item: &Item, table: &Table<'_>) -> Option<Quantity> {
        let Node::Table(entries) = &item.node else {
            table.wrong("quantity", item, text::Kind::Table);
            return None;
        };
        let inner = Table::open(entries, item.place, &QUANTITY, self.faults);
        let said = number(&inner, "value")?;
        let first = self.value(&said)?;
        let metric = match number(&inner, "metric") {
            Some(said) => {
                let metric = self.value(&said)?;
                if std::mem::discriminant(&metric) != std::mem::discriminant(&first) {
                    self.faults.tell(said.place, StyleError::Units);
                }
                Some(metric)
            }
            None => None,
        };
        Some(Quantity {
            name: key.value.clone(),
            value: first,
            metric,
            why: inner.text("why")?.value,
            measure: inner.flag("measure").unwrap_or(false),
            give: inner.count("give", 1, 1_000_000),
            place: key.place,
        })
    }

    fn value(&self, said: &Said<String>) -> Option<Value> {
        let wrong = |error: LengthError| {
            let place = said.part(error.range());
            self.faults.tell(place, TextError::Length { error });
        };
        value(&said.value).map_err(wrong).ok()
    }

    /// Reads one text of a rule with one of the grammar's readers.
    pub(super) fn parse<T>(&self, said: &Said<String>, reader: Read<T>) -> Option<T> {
        if said.place.len() != said.value.len() {
            self.faults.tell(said.place, StyleError::Escapes);
            return None;
        }
        self.read(said, reader)
    }

    /// The same of what may stand there without quotes.
    pub(super) fn read<T>(&self, said: &Said<String>, reader: Read<T>) -> Option<T> {
        let wrong = |SyntaxError { place, expected }| match length_at(said, place) {
            Some(length) => {
                let written = length.value;
                self.faults
                    .tell(length.place, StyleError::Literal { written });
            }
            None => self.faults.tell(place, StyleError::Syntax { expected }),
        };
        reader(&said.value, said.place).map_err(wrong).ok()
    }

    pub(super) fn bindings(&self, table: &Table<'_>) -> Option<Vec<Binding>> {
        self.each(&table.texts("for"), grammar::read_binding)
    }

    /// Reads several texts of a rule; `None` if one of them is wrong.
    pub(super) fn each<T>(&self, texts: &[Said<String>], reader: Read<T>) -> Option<Vec<T>> {
        let read: Vec<Option<T>> = texts.iter().map(|it| self.parse(it, reader)).collect();
        read.into_iter().collect()
    }

    /// Reads the text at a key.
    pub(super) fn at<T>(&self, table: &Table<'_>, key: &str, reader: Read<T>) -> Option<T> {
        self.parse(&table.text(key)?, reader)
    }

    /// One text, or a list of texts.
    pub(super) fn one_or_more(&self, table: &Table<'_>, key: &str) -> Vec<Said<String>> {
        match table.get(key).map(|item| &item.node) {
            Some(Node::List(_)) => table.texts(key),
            _ => table.text(key).into_iter().collect(),
        }
    }

    pub(super) fn conditions(&self, table: &Table<'_>) -> Option<Vec<Condition>> {
        let texts = self.one_or_more(table, "when");
        self.each(&texts, grammar::read_condition)
    }

    fn path(&self, table: &Table<'_>, key: &str) -> Option<(Path, Place)> {
        let said = table.text(key)?;
        Some((self.parse(&said, grammar::read_path)?, said.place))
    }

    fn unknown(&self, table: &Table<'_>) -> Option<UnknownRule> {
        let name = self.path(table, "name");
        let bindings = self.bindings(table);
        let when = self.conditions(table);
        let said = table.text("prefer")?;
        let prefer = match said.value.split_whitespace().collect::<Vec<_>>()[..] {
            ["large"] => Prefer::Large,
            ["small"] => Prefer::Small,
            ["largest", "with", other] => Prefer::LargestWith(Path::of(other), said.place),
            _ => {
                let text = said.value.clone();
                self.faults.tell(said.place, StyleError::Prefer { text });
                return None;
            }
        };
        let quantity = |key| match table.get(key) {
            Some(_) => self.path(table, key).map(Some),
            None => Some(None),
        };
        let (least, above) = (quantity("least")?, quantity("above")?);
        let (name, place) = name?;
        Some(UnknownRule {
            name,
            bindings: bindings?,
            when: when?,
            prefer,
            first: table.flag("first").unwrap_or(false),
            least,
            above,
            tells: self.tells(table),
            why: table.text("why")?.value,
            place,
        })
    }

    /// What is said of a size. Only what is filled in stands in braces.
    pub(super) fn tells(&self, table: &Table<'_>) -> Tells {
        let text = |key: &str, filled: &'static [&'static str]| {
            let has = table.get(key).is_some();
            let said = has.then(|| table.text(key)).flatten()?;
            let mut braces = said.value.split('{').skip(1);
            let wrong = braces.any(|rest| {
                let word = rest.split_once('}').map(|(word, _)| word);
                !word.is_some_and(|word| filled.contains(&word))
            });
            if wrong {
                let place = said.place;
                self.faults.tell(place, StyleError::Filled { filled });
            }
            Some(said.value)
        };
        Tells {
            title: text("title", &[]),
            called: text("called", &[]),
            shown: text("shown", &["it"]),
            more: text("more", &["by", "it", "of"]),
            less: text("less", &["by", "it", "of"]),
        }
    }

    fn choice(&self, table: &Table<'_>) -> Option<ChoiceRule> {
        let name = self.path(table, "name");
        let bindings = self.bindings(table);
        let when = self.conditions(table);
        let from = table.text("from")?;
        let tables = vocabulary::TABLES.iter().map(|(table, _)| *table);
        if !tables.clone().any(|table| table == from.value) {
            let (list, known) = (from.value.clone(), tables.map(str::to_owned).collect());
            let wrong = StyleError::List { list, known };
            self.faults.tell(from.place, wrong);
        }
        let prefer = match table.text("prefer") {
            None => Order::Table,
            Some(said) => match said.value.split_whitespace().collect::<Vec<_>>()[..] {
                ["first"] => Order::Table,
                ["small", column] => Order::Small(column.to_owned()),
                ["large", column] => Order::Large(column.to_owned()),
                _ => {
                    let text = said.value.clone();
                    self.faults.tell(said.place, StyleError::Prefer { text });
                    return None;
                }
            },
        };
        let (name, place) = name?;
        Some(ChoiceRule {
            name,
            bindings: bindings?,
            when: when?,
            from: from.value,
            turn: table.flag("turn").unwrap_or(false),
            prefer,
            first: table.flag("first").unwrap_or(false),
            why: table.text("why")?.value,
            place,
        })
    }

    fn rule(&self, table: &Table<'_>) -> Option<Rule> {
        let name = table.text("name");
        let bindings = self.bindings(table);
        let when = self.conditions(table);
        let because = self.at(table, "because", grammar::read_reason);
        let watch = self.at(table, "watch", grammar::read_words);
        let demand = self.demand(table);
        let give = table.count("give", 1, 1_000_000);
        let give_most = self.at(table, "give_most", grammar::read_expr);
        let source = table.text("source")?.value;
        let name = name?;
        Some(Rule {
            name: name.value,
            wish: table.flag("wish").unwrap_or(false),
            bindings: bindings?,
            when: when?,
            demand: demand?,
            because: because?,
            watch,
            mend: table.texts("mend"),
            give,
            give_most,
            capacity: table.flag("capacity").unwrap_or(false),
            source,
            place: name.place,
        })
    }

    fn demand(&self, table: &Table<'_>) -> Option<Demand> {
        match (table.get("require"), table.get("either")) {
            (Some(_), None) => {
                let texts = self.one_or_more(table, "require");
                self.comparisons(&texts).map(Demand::Require)
            }
            (None, Some(item)) => {
                let Node::List(items) = &item.node else {
                    table.wrong("either", item, text::Kind::Texts);
                    return None;
                };
                let mut any = Vec::new();
                for item in items {
                    let texts: Vec<_> = item.each().iter().filter_map(Item::text).collect();
                    if texts.is_empty() {
                        table.wrong("either", item, text::Kind::Text);
                        return None;
                    }
                    any.push(self.comparisons(&texts)?);
                }
                if any.is_empty() {
                    self.faults.tell(item.place, StyleError::Demand);
                    return None;
                }
                Some(Demand::Either(any))
            }
            _ => {
                self.faults.tell(table.place, StyleError::Demand);
                None
            }
        }
    }

    fn comparisons(&self, texts: &[Said<String>]) -> Option<Vec<Comparison>> {
        self.each(texts, grammar::read_comparison)
    }
}

/// A length or a ratio as it is typed.
fn number(table: &Table<'_>, key: &str) -> Option<Said<String>> {
    match table.get(key).map(|item| (item, &item.node)) {
        Some((item, Node::Whole { .. } | Node::Decimal { .. })) => {
            table.wrong(key, item, text::Kind::LengthOrRatio);
            None
        }
        _ => table.text(key),
    }
}

/// The length that stands round this place of a text: `5 mm`, where a rule names quantities.
fn length_at(said: &Said<String>, at: Place) -> Option<Said<String>> {
    let text = said.value.as_str();
    let (before, after) = text.split_at_checked((at.start - said.place.start) as usize)?;
    let in_number = |c: char| c.is_ascii_digit() || " ./".contains(c);
    let from = before.trim_end_matches(in_number).len();
    let unit = after.trim_start_matches(in_number);
    let to = text.len()
        - unit
            .trim_start_matches(|c: char| c.is_ascii_alphabetic())
            .len();
    let from = to - text.get(from..to)?.trim_start().len();
    let written = text.get(from..to)?;
    parse_interval(written).ok()?;
    Some(Said {
        value: written.to_owned(),
        place: said.part(from..to),
    })
}

/// One of the grammar's readers.
pub(super) type Read<T> = fn(&str, Place) -> Result<T, SyntaxError>;
