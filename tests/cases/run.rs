//! Reads an album with its style from disk and works it out.

use std::fs;
use std::path::Path;
use tuckwright::album::{self, Album, StyleName};
use tuckwright::solve::Limits;
use tuckwright::style::Style;
use tuckwright::text::{Fault, Faults, Files, Look, decode, render};
use tuckwright::{Worked, work};

#[derive(Clone)]
pub struct Case {
    pub album: Album,
    pub style: Style,
    files: Files,
}

impl Case {
    /// # Errors
    /// What a maker would be told.
    pub fn read(path: &Path) -> Result<Case, String> {
        let folder = path.parent().unwrap_or(Path::new("."));
        let mut files = Files::default();
        let bytes = fs::read(path).map_err(|e| format!("{}: {e}", path.display()))?;
        let file = decode(&mut files, "album.toml", bytes).map_err(|f| f.to_string())?;
        let mut load = |path: &str| fs::read(folder.join(path)).map_err(|e| e.to_string());
        let album = match album::text::read(&mut files, file, &mut load) {
            Ok(album) => album,
            Err(faults) => return Err(render(&files, &faults, Look::Plain)),
        };
        let style = match &album.style.value {
            StyleName::Shipped(name) => {
                let styles = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/styles");
                styles.join(format!("{name}.toml"))
            }
            StyleName::File(file) => folder.join(file),
        };
        let style = style_of(&mut files, &style)?;
        Ok(Case {
            album,
            style,
            files,
        })
    }

    /// # Errors
    /// What a maker would be told.
    pub fn work(&self) -> Result<Worked, String> {
        self.work_with(&self.style)
    }

    /// With another style in the place of its own.
    pub fn work_with(&self, style: &Style) -> Result<Worked, String> {
        let mut album = self.album.clone();
        // A wish that was taken out of the style is not preferred.
        let gone = |name: &str| !style.rules.iter().any(|r| r.name == name);
        let known = |name: &str| self.style.rules.iter().any(|r| r.name == name);
        album.prefer.retain(|p| {
            p.value
                .strip_prefix("keep ")
                .is_none_or(|n| !(known(n) && gone(n)))
        });
        work(style, &album, &Limits::default()).map_err(|errors| {
            let faults: Faults = errors
                .into_iter()
                .map(|e| Box::new(e) as Box<dyn Fault>)
                .collect();
            render(&self.files, &faults, Look::Plain)
        })
    }
}

/// # Errors
/// What a maker would be told.
pub fn read_style(path: &Path) -> Result<(Files, Style), String> {
    let mut files = Files::default();
    let style = style_of(&mut files, path)?;
    Ok((files, style))
}

fn style_of(files: &mut Files, path: &Path) -> Result<Style, String> {
    let text = fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))?;
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned());
    let file = files.add(name.unwrap_or_default(), text);
    tuckwright::style::text::read(files, file).map_err(|faults| render(files, &faults, Look::Plain))
}
