//! Two slips that upset all that stands behind them: single brackets round a heading of which there may be
//! several, and a list or table that is not closed. Found by going once through the text, before it is parsed.

use std::borrow::Cow;
use std::ops::Range;

use super::Shape;

/// A text as it is parsed: with double brackets where they belong.
pub(super) struct Scan<'t> {
    pub text: Cow<'t, str>,
    /// Where brackets were put in, in the text that is parsed.
    added: Vec<usize>,
    /// Headings with single brackets that need double ones, and their names.
    pub single: Vec<(Range<usize>, &'t str)>,
    pub open: Option<Open>,
}

/// A bracket that is not closed before a heading or a name that cannot stand in it.
pub(super) struct Open {
    pub at: usize,
    /// Where the line of that heading or name begins.
    pub until: usize,
}

impl<'t> Scan<'t> {
    /// A text in which nothing is looked for.
    pub fn sound(text: &'t str) -> Scan<'t> {
        Scan {
            text: Cow::Borrowed(text),
            added: Vec::new(),
            single: Vec::new(),
            open: None,
        }
    }

    /// Goes through a text whose tables at the top are those of a shape.
    pub fn of(text: &'t str, shape: &Shape) -> Scan<'t> {
        let (mut single, mut unclosed) = (Vec::new(), None);
        // Brackets that are open, the innermost last.
        let mut open: Vec<usize> = Vec::new();
        // A name on a line of its own in braces, with no comma before it; the last sign of a value.
        let mut upset: Option<Open> = None;
        let mut last = ' ';
        let mut at = 0;
        while at < text.len() {
            let rest = &text[at..];
            let line = &rest[..rest.find('\n').map_or(rest.len(), |end| end + 1)];
            let heading = heading(line);
            let in_list = |bracket: usize| text[bracket..].starts_with('[');
            upset = upset.filter(|it| open.contains(&it.at));
            if let Some(bracket) = open.last().copied() {
                let here = Open {
                    at: bracket,
                    until: at,
                };
                let (list, named) = (in_list(bracket), is_named(line));
                let next = !list && last != '=' && line.trim_start().starts_with(['{', ']']);
                if heading.is_some() || list && named || next {
                    unclosed.get_or_insert(upset.take().unwrap_or(here));
                    open.clear();
                } else if named && !matches!(last, ',' | '{') {
                    upset.get_or_insert(here);
                }
            }
            match heading.filter(|_| open.is_empty()) {
                Some((range, name)) => {
                    if range.len() == name.len() + 2 && shape.has_several(name) {
                        single.push((at + range.start..at + range.end, name));
                    }
                    at += line.len();
                }
                None => at += values(rest, at, &mut open, &mut last),
            }
        }
        let unclosed = unclosed.or(upset.filter(|it| open.contains(&it.at)));
        let mut scan = Scan {
            single,
            open: unclosed,
            ..Scan::sound(text)
        };
        scan.double(text);
        scan
    }

    /// Puts the brackets in that are missing.
    fn double(&mut self, text: &str) {
        let mut all = String::new();
        let mut from = 0;
        for (range, _) in &self.single {
            for (at, bracket) in [(range.start, '['), (range.end, ']')] {
                all.push_str(&text[from..at]);
                self.added.push(all.len());
                all.push(bracket);
                from = at;
            }
        }
        if from > 0 {
            all.push_str(&text[from..]);
            self.text = Cow::Owned(all);
        }
    }

    /// Where bytes of the text that is parsed stand in the file.
    pub fn place(&self, bytes: Range<usize>) -> Range<usize> {
        let before = |at: usize| at - self.added.partition_point(|added| *added < at);
        before(bytes.start)..before(bytes.end)
    }
}

fn is_bare(c: char) -> bool {
    c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.')
}

/// A heading that is all of a line: where it stands in the line, and its name.
fn heading(line: &str) -> Option<(Range<usize>, &str)> {
    let from = line.len() - line.trim_start().len();
    let inner = line[from..].strip_prefix('[')?;
    let double = inner.starts_with('[');
    let inner = inner.strip_prefix('[').unwrap_or(inner);
    let name = &inner[..inner.find(|c| !is_bare(c))?];
    let close = if double { "]]" } else { "]" };
    let behind = inner[name.len()..].strip_prefix(close)?.trim_start();
    let all = behind.is_empty() || behind.starts_with('#');
    let len = name.len() + 2 * close.len();
    (all && name.contains(|c: char| c.is_ascii_alphabetic())).then_some((from..from + len, name))
}

/// Whether a line begins with `name =`.
fn is_named(line: &str) -> bool {
    let line = line.trim_start();
    let behind = line.trim_start_matches(is_bare);
    behind.len() < line.len() && behind.trim_start().starts_with('=')
}

/// Goes through the values of a line, which stands at a byte of its file, and through texts of several lines
/// that begin in it; tells how many bytes that were, and the last sign of them.
fn values(rest: &str, line: usize, open: &mut Vec<usize>, last: &mut char) -> usize {
    let mut at = 0;
    while let Some(sign) = rest[at..].chars().next() {
        if !sign.is_whitespace() && sign != '#' {
            *last = sign;
        }
        match sign {
            '\n' => return at + 1,
            '#' => return rest[at..].find('\n').map_or(rest.len(), |end| at + end + 1),
            '[' | '{' => open.push(line + at),
            ']' | '}' => {
                open.pop();
            }
            '"' | '\'' => {
                at += quoted(&rest[at..], sign);
                continue;
            }
            _ => {}
        }
        at += sign.len_utf8();
    }
    at
}

/// How long a text with its quotes is. One that is not closed ends with its line.
fn quoted(text: &str, quote: char) -> usize {
    let three = [quote; 3].iter().collect::<String>();
    let long = text.starts_with(&three);
    let mut at = if long { 3 } else { 1 };
    while let Some(sign) = text[at..].chars().next() {
        match sign {
            '\\' if quote == '"' => {
                at += 1 + text[at + 1..].chars().next().map_or(0, char::len_utf8);
                continue;
            }
            '\n' if !long => return at,
            _ if !long && sign == quote => return at + 1,
            // Up to two quotes before the last three belong to the text.
            _ if long && text[at..].starts_with(&three) => {
                let more = text[at + 3..].chars().take(2);
                return at + 3 + more.take_while(|it| *it == quote).count();
            }
            _ => {}
        }
        at += sign.len_utf8();
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHAPE: Shape = Shape::new("a test", &[]).keys(&[("rule", "[[rule]]"), ("set", "[set]")]);

    #[test]
    fn brackets_are_doubled_where_there_may_be_several() {
        let text =
            "a = '''\n[rule]\n'''\n[rule] # one\nb = [\n'x', \"[\\\"]\", # ]\n]\n[set]\n[rule]\n";
        let scan = Scan::of(text, &SHAPE);
        assert_eq!(scan.text.matches("[[rule]]").count(), 2);
        assert!(
            scan.text
                .starts_with("a = '''\n[rule]\n'''\n[[rule]] # one\n")
        );
        assert!(scan.open.is_none());
        for word in ["# one", "[set]"] {
            let at = |text: &str| text.find(word).expect("it is there");
            let (new, old) = (at(&scan.text), at(text));
            assert_eq!(scan.place(new..new + 5), old..old + 5, "{word}");
        }
        let (first, _) = &scan.single[0];
        let new = scan.text.find("[[rule]]").expect("it is there");
        assert_eq!(scan.place(new..new + 8), *first);
    }

    #[test]
    fn what_is_not_closed_is_found_where_it_opens() {
        for (text, opens) in [
            ("a = [1, 2\nb = 3\n", Some(4)),
            ("a = [\n  { b = [1] },\n[[rule]]\nc = 1\n", Some(4)),
            ("a = { b = 1\n[set]\n", Some(4)),
            ("a = { b = 1 # {\n\nc = { d = 2 }\n", Some(4)),
            ("a = [\n  { b = 1\n  { c = 2 },\n]\nd = 1\n", Some(8)),
            ("a = [\n  { b = 1,\n]\nd = 1\n", Some(8)),
            ("a = { b = 1\n c = 2 }\n[set]\n", None),
            ("a = { b = 1,\n c =\n { d = 2 } }\n[set]\n", None),
            ("a = [\n  { b = 1,\n  c = 2 },\n]\nd = 1\n", None),
            ("a = [ '[', \"[\", \"\"\"[\"\"\"\"] # [\nb = 1\n", None),
            ("a = [[1], [true]\n, [2]]\nb = 3\n", None),
        ] {
            assert_eq!(Scan::of(text, &SHAPE).open.map(|it| it.at), opens, "{text}");
        }
    }
}
