//! Whole texts of the album, each with the sentence of what was done: undo and redo.

/// Texts that are kept.
const MOST: usize = 500;

/// Which visit to which box a change comes from: further changes of it are the same step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Visit {
    pub tab: String,
    /// What the box stands for; a thing of the supplies gets another name with its first change.
    pub field: String,
    pub number: u64,
}

impl Visit {
    /// Both are the same visit.
    fn is(&self, other: &Visit) -> bool {
        (&self.tab, self.number) == (&other.tab, other.number)
    }
}

#[derive(Clone, Debug)]
struct Step {
    text: String,
    /// What led to this text; empty for the first.
    said: String,
    visit: Option<Visit>,
}

/// The texts, and which of them stands.
#[derive(Clone, Debug, Default)]
pub struct History {
    steps: Vec<Step>,
    at: usize,
}

impl History {
    pub fn new(text: String) -> History {
        History {
            steps: vec![Step {
                text,
                said: String::new(),
                visit: None,
            }],
            at: 0,
        }
    }

    /// The text as it stands.
    pub fn text(&self) -> &str {
        self.steps.get(self.at).map_or("", |step| &step.text)
    }

    /// Adds a text. What was undone before it is forgotten.
    pub fn push(&mut self, text: String, said: String, visit: Option<Visit>) {
        self.steps.truncate(self.at + 1);
        if let (Some(last), true) = (self.steps.last_mut(), self.at > 0)
            && let (Some(visit), Some(of)) = (&visit, &last.visit)
            && visit.is(of)
        {
            (last.text, last.said) = (text, said);
            return;
        }
        self.steps.push(Step { text, said, visit });
        if self.steps.len() > MOST {
            self.steps.remove(0);
        }
        self.at = self.steps.len() - 1;
    }

    /// Whether the text as it stands is what this visit made of it so far.
    pub fn is_at(&self, visit: &Visit) -> bool {
        let step = self.steps.get(self.at);
        let of = step.and_then(|step| step.visit.as_ref());
        self.at > 0 && of.is_some_and(|of| of.is(visit))
    }

    /// Forgets the step that this visit made; whether the text as it stands was of it.
    pub fn forget(&mut self, visit: &Visit) -> bool {
        let is_at = self.is_at(visit);
        if is_at {
            self.steps.truncate(self.at);
            self.at -= 1;
        }
        is_at
    }

    /// What the next undo takes back.
    pub fn undo_said(&self) -> Option<&str> {
        let step = self.steps.get(self.at).filter(|_| self.at > 0)?;
        Some(&step.said)
    }

    /// What the next redo does again.
    pub fn redo_said(&self) -> Option<&str> {
        self.steps.get(self.at + 1).map(|step| step.said.as_str())
    }

    /// Goes back by one, and tells what it took back; `None` if there is nothing.
    pub fn undo(&mut self) -> Option<String> {
        let said = self.undo_said()?.to_owned();
        self.at -= 1;
        self.leave();
        Some(said)
    }

    /// Goes on by one, and tells what it did again; `None` if nothing was taken back.
    pub fn redo(&mut self) -> Option<String> {
        let said = self.redo_said()?.to_owned();
        self.at += 1;
        self.leave();
        Some(said)
    }

    /// Whatever is typed next is a step of its own.
    fn leave(&mut self) {
        for step in &mut self.steps {
            step.visit = None;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn visit(number: u64) -> Option<Visit> {
        Some(Visit {
            tab: "a".to_owned(),
            field: "f".to_owned(),
            number,
        })
    }

    #[test]
    fn one_visit_is_one_step() {
        let mut history = History::new("0".to_owned());
        for (text, number) in [("1", 1), ("12", 1), ("123", 1), ("5", 2)] {
            history.push(text.to_owned(), format!("f {text}"), visit(number));
        }
        assert_eq!(history.undo_said(), Some("f 5"));
        assert_eq!(history.undo().as_deref(), Some("f 5"));
        assert_eq!(history.text(), "123");
        // What was undone is a step that later typing does not change.
        history.push("124".to_owned(), "f 124".to_owned(), visit(1));
        assert_eq!(history.redo_said(), None);
        history.undo();
        assert_eq!(history.text(), "123");
        history.redo();
        assert_eq!(history.text(), "124");
        history.undo();
        history.undo();
        assert_eq!((history.text(), history.undo_said()), ("0", None));
        assert_eq!(history.undo(), None);
    }

    #[test]
    fn it_forgets_the_oldest() {
        let mut history = History::new("0".to_owned());
        for n in 1..=MOST + 20 {
            history.push(n.to_string(), String::new(), None);
        }
        let undone = std::iter::from_fn(|| history.undo()).count();
        assert_eq!(undone, MOST - 1);
        assert_eq!(history.text(), "21");
    }
}
