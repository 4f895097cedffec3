//! The template environment: documents filled with course data.
//!
//! Names ending in `.typ.j2` are documents (minijinja); names ending in `.typ` are shared style in
//! the typesetter's own language, copied to its folder as they are. Every printed value is text by
//! default. A value is used in one of these ways, and any other is an error:
//!
//! | written | place | for |
//! | --- | --- | --- |
//! | `{{ name }}` | markup | text shown on the page |
//! | `{{ name\|lit }}` | code, as an argument | text shown on the page |
//! | `{{ name\|spoken }}` | code | titles and alternative text: no break opportunities |
//! | `{{ address\|exact }}` | code | link targets, file names, keys: nothing replaced |
//! | `{{ rows\|data }}` | code | numbers, lists, maps, truth values; also as `num` and `nums` |
//! | `{{ formula }}` holding [`Markup`](super::Markup) | markup | markup the program made |

mod dialect;

use std::collections::BTreeMap;
use std::sync::Arc;

use include_dir::{Dir, include_dir};
use minijinja::syntax::SyntaxConfig;
use minijinja::value::{Serde, Value, ValueKind};
use minijinja::{AutoEscape, Environment, Error, ErrorKind, Output, State, UndefinedBehavior};
use serde::Serialize;

use super::faces::Faces;
use super::own::{self, ALONE, Frame, OwnPage};
use super::trace::{Rendered, shown_in_template};
use super::{data, escape};
use crate::problem::Failure;

pub use dialect::{Dialect, WORDS};

static EMBEDDED: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/templates");

/// Ending of a document template.
const DOCUMENT: &str = ".typ.j2";
/// Ending of shared style.
const SHARED: &str = ".typ";

/// All templates, by name: the path below `templates/`, with `/` between folders.
pub struct Templates {
    environment: Environment<'static>,
    sources: Arc<BTreeMap<String, String>>,
    /// By template, file and digest of the club's that words a part of it.
    own: BTreeMap<String, (String, String)>,
    faces: Arc<Faces>,
    dialect: Arc<Dialect>,
}

impl Templates {
    /// The templates carried in the program.
    ///
    /// # Errors
    /// A template that does not parse, with its place.
    pub fn embedded() -> Result<Self, Failure> {
        let mut files = Vec::new();
        collect(&EMBEDDED, &mut files);
        Self::of(files)
    }

    /// Templates from pairs of name and text. Names with other endings than `.typ` and `.typ.j2`
    /// are left out.
    ///
    /// # Errors
    /// A template that does not parse, with its place.
    pub fn of<N: Into<String>, T: Into<String>>(
        files: impl IntoIterator<Item = (N, T)>,
    ) -> Result<Self, Failure> {
        let sources: BTreeMap<String, String> = files
            .into_iter()
            .map(|(name, text)| (name.into(), text.into()))
            .filter(|(name, _): &(String, String)| name.ends_with(DOCUMENT) || name.ends_with(SHARED))
            .collect();
        let (faces, dialect) = Default::default();
        let mut environment = strict_environment(&faces, &dialect);
        for (name, text) in sources.iter().filter(|(name, _)| name.ends_with(DOCUMENT)) {
            environment
                .add_template_owned(name.clone(), text.clone())
                .map_err(|error| in_words(&sources, &error))?;
        }
        Ok(Self { environment, sources: Arc::new(sources), own: BTreeMap::new(), faces, dialect })
    }

    /// The same templates where letters of other scripts have these faces. Without them, such letters are shown by
    /// name, such as `[U+5B57]`.
    #[must_use]
    pub fn with_faces(mut self, faces: &Arc<Faces>) -> Self {
        self.faces = Arc::clone(faces);
        speak(&mut self.environment, &self.faces, &self.dialect);
        self
    }

    /// The same templates in the English of their readers. A club's own pages join them afterwards, in its own words.
    ///
    /// # Errors
    /// A template that does not parse any more, with its place.
    pub fn in_dialect(self, dialect: Dialect) -> Result<Self, Failure> {
        let put = |(name, text): (&String, &String)| {
            let said = if name.ends_with(DOCUMENT) { dialect.template(text) } else { text.clone() };
            (name.clone(), said)
        };
        let mut said = Self::of(self.sources.iter().map(put).collect::<Vec<_>>())?;
        said.dialect = Arc::new(dialect);
        Ok(said.with_faces(&self.faces))
    }

    /// The same templates with a club's own pages among them. From now on filling one ends at a bound.
    ///
    /// # Errors
    /// A page that does not parse, with its place; one that would take the place of a page that is the program's
    /// from the first line to the last.
    pub fn with_own(mut self, pages: &[OwnPage]) -> Result<Self, Failure> {
        if pages.is_empty() {
            return Ok(self);
        }
        let mut sources = (*self.sources).clone();
        for page in pages {
            sources.insert(page.file.clone(), page.text.to_owned());
            let (name, within) = match page.frame {
                Frame::Within(name) => (name.to_owned(), sources.get(name).map(String::as_str)),
                Frame::Alone { .. } => (format!("{}{ALONE}", page.file), None),
            };
            let framed = page.framed(within).ok_or_else(|| {
                Failure::Template(format!(
                    "{name} has no part that a club may word, and {} takes one",
                    page.file
                ))
            })?;
            for (name, text) in [(&page.file, page.text), (&name, framed.as_str())] {
                let added = self.environment.add_template_owned(name.clone(), text.to_owned());
                added.map_err(|error| own::unread(in_words(&sources, &error)))?;
            }
            sources.insert(name.clone(), framed);
            self.own.insert(name, (page.file.clone(), page.digest()));
        }
        self.environment.set_fuel(Some(own::FUEL));
        self.sources = Arc::new(sources);
        Ok(self)
    }

    /// The part of a document template that a club may word; none where every line is the program's.
    pub fn part(&self, name: &str) -> Option<&str> {
        self.sources.get(name).and_then(|text| own::part(text))
    }

    /// Fills a club's page that stands on sheets of its own, by its file.
    ///
    /// # Errors
    /// As [`Self::render`].
    pub fn render_own(&self, file: &str, context: &impl Serialize) -> Result<Rendered, Failure> {
        self.render(&format!("{file}{ALONE}"), context)
    }

    /// Fills a document template.
    ///
    /// # Errors
    /// An unknown template, an undefined value, a value that is not text; with the place in the
    /// template. What a club's page may not hold.
    pub fn render(&self, name: &str, context: &impl Serialize) -> Result<Rendered, Failure> {
        let own = self.own.get(name);
        let template =
            self.environment.get_template(name).map_err(|error| in_words(&self.sources, &error))?;
        let context = Value::from(Serde(context));
        if let Some((file, _)) = own {
            let part =
                self.environment.get_template(file).map_err(|error| in_words(&self.sources, &error))?;
            own::strangers(&part, file, part.source(), &context)?;
        }
        let filled = template.render_with_spans(context.clone());
        let (text, spans) = filled.map_err(|error| match own {
            Some(_) => own::offered(&error, &context, &self.sources),
            None => in_words(&self.sources, &error),
        })?;
        let mut page = Rendered::new(name, text, spans, Arc::clone(&self.sources));
        if let Some((_, digest)) = own {
            own::look(&page, digest)?;
            page.own = Some(digest.clone());
        }
        Ok(page)
    }

    /// Name and text of the shared style files, in order of name.
    pub fn shared(&self) -> impl Iterator<Item = (&str, &str)> {
        self.sources
            .iter()
            .filter(|(name, _)| name.ends_with(SHARED))
            .map(|(name, text)| (name.as_str(), text.as_str()))
    }

    /// Names of the document templates, in order.
    pub fn documents(&self) -> impl Iterator<Item = &str> {
        self.sources.keys().map(String::as_str).filter(|name| name.ends_with(DOCUMENT))
    }
}

fn collect(folder: &Dir<'_>, files: &mut Vec<(String, String)>) {
    for file in folder.files() {
        if let Some(text) = file.contents_utf8() {
            files.push((file.path().to_string_lossy().replace('\\', "/"), text.to_owned()));
        }
    }
    for inner in folder.dirs() {
        collect(inner, files);
    }
}

/// An environment in which nothing undefined prints and nothing but text prints.
fn strict_environment(faces: &Arc<Faces>, dialect: &Arc<Dialect>) -> Environment<'static> {
    let mut environment = Environment::new();
    environment.set_debug(true);
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_auto_escape_callback(|_| AutoEscape::Custom("typst".into()));
    environment.set_syntax(
        SyntaxConfig::builder()
            .trim_blocks(true)
            .lstrip_blocks(true)
            .keep_trailing_newline(true)
            .build()
            .expect("the usual delimiters are sound"),
    );
    for way_round in ["safe", "escape", "e", "tojson", "pprint"] {
        environment.remove_filter(way_round);
    }
    environment.add_filter("exact", |value: Value| of_text(&value, escape::literal));
    speak(&mut environment, faces, dialect);
    environment
}

/// How text is said and with what it is printed.
#[derive(Clone)]
struct Voice {
    faces: Arc<Faces>,
    dialect: Arc<Dialect>,
}

impl Voice {
    fn shown(&self, text: &str, joint: &str) -> String {
        self.faces.shown(&self.dialect.said(text), joint).into_owned()
    }
}

/// Everything through which text comes to a page, with the faces it may be printed with and in its readers' English.
fn speak(environment: &mut Environment<'static>, faces: &Arc<Faces>, dialect: &Arc<Dialect>) {
    let voice = Voice { faces: Arc::clone(faces), dialect: Arc::clone(dialect) };
    let own = voice.clone();
    environment.set_formatter(move |out, _: &mut State<'_, '_>, value| print_text(out, value, &own));
    for (name, write) in [("lit", escape::printed as fn(&str) -> String), ("spoken", escape::spoken)] {
        let voice = voice.clone();
        let written = move |value: Value| of_text(&value, |text| write(&voice.shown(text, "")));
        environment.add_filter(name, written);
    }
    for name in ["data", "num", "nums"] {
        let voice = voice.clone();
        let written = move |value: Value| {
            let literal = data::literal(&value)?;
            Ok::<_, Error>(Value::from_safe_string(voice.shown(&literal, escape::BREAK)))
        };
        environment.add_filter(name, written);
    }
}

/// What `{{ … }}` does: trusted markup verbatim, text as text, anything else refused.
fn print_text(out: &mut Output<'_>, value: &Value, voice: &Voice) -> Result<(), Error> {
    match value.as_str() {
        Some(markup) if value.is_safe() => Ok(out.write_str(&voice.shown(markup, escape::BREAK))?),
        Some(text) => Ok(out.write_str(&escape::embedded(&voice.shown(text, "")))?),
        None => Err(refuse(format!("only text can be printed, not {}; use a filter", named(value)))),
    }
}

/// Text as a bare literal, in one of the ways of [`escape`].
fn of_text(value: &Value, write: impl Fn(&str) -> String) -> Result<Value, Error> {
    match value.as_str() {
        Some(_) if value.is_safe() => {
            Err(refuse("markup cannot become a literal; put it in brackets: [{{ … }}]".into()))
        }
        Some(text) => Ok(Value::from_safe_string(write(text))),
        None => Err(refuse(format!("only text can be a literal, not {}; use `data`", named(value)))),
    }
}

fn named(value: &Value) -> &'static str {
    match value.kind() {
        ValueKind::Undefined => "an undefined value",
        ValueKind::None => "none",
        ValueKind::Bool => "a truth value",
        ValueKind::Number => "a number",
        ValueKind::Seq | ValueKind::Iterable => "a list",
        ValueKind::Map => "a map",
        _ => "this value",
    }
}

fn refuse(why: String) -> Error {
    Error::new(ErrorKind::InvalidOperation, why)
}

/// An error of the environment, shown in the template it arose in.
pub(super) fn in_words(sources: &BTreeMap<String, String>, error: &Error) -> Failure {
    let message = match error.detail() {
        Some(detail) => format!("{}: {detail}", error.kind()),
        None => error.kind().to_string(),
    };
    let source = error.name().and_then(|name| sources.get_key_value(name));
    Failure::Template(match (source, error.range(), error.line()) {
        (Some((name, text)), Some(range), _) => shown_in_template(name, text, range, &message),
        (Some((name, _)), None, Some(line)) => format!("error: {message}\n --> {name}:{line}"),
        _ => format!("a document cannot be filled: {error}"),
    })
}
