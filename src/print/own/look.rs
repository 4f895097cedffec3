//! Reads a filled page of a club as the typesetter will, and refuses what is not one of the pieces.

use std::ops::Range;

use typst_syntax::{LinkedNode, SyntaxKind as Kind};

use super::measure::{LONGEST, millimetres, named, number, number_of, points, split, string_of};
use super::pieces::{NAMES, PIECES, instead_of, options_of};
use crate::print::coverage::covered;

/// Largest whole number on a page of a club: rows, columns, copies.
const LARGEST: f64 = 500.0;
/// Most pieces around a piece.
const DEEPEST: usize = 12;
/// Smallest and largest type, points.
const TYPE: Range<f64> = 9.0..40.0;
/// Where the pictures of a club's page lie.
pub(super) const PICTURES: &str = "/pictures/own-";

/// Something on a filled page that may not be there: its place, what is wrong, what would be right.
#[derive(Debug, PartialEq)]
pub(super) struct Fault {
    pub(super) at: Range<usize>,
    pub(super) message: String,
    pub(super) help: String,
}

/// Everything on a filled page that may not be there. `first` is the level of its first heading.
pub(super) fn faults(page: &str, first: usize) -> Vec<Fault> {
    let root = typst_syntax::parse(page);
    let mut reader = Reader { faults: Vec::new(), level: first - 1 };
    reader.markup(&LinkedNode::new(&root), 0);
    reader.faults
}

struct Reader {
    faults: Vec<Fault>,
    /// Of the heading before.
    level: usize,
}

impl Reader {
    fn refuse(&mut self, node: &LinkedNode, message: impl Into<String>, help: impl Into<String>) {
        self.faults.push(Fault { at: node.range(), message: message.into(), help: help.into() });
    }

    /// Words with their marks, and pieces among them; `within` counts the pieces around.
    fn markup(&mut self, node: &LinkedNode, within: usize) {
        for child in node.children() {
            match child.kind() {
                Kind::Space
                | Kind::Parbreak
                | Kind::Linebreak
                | Kind::Escape
                | Kind::Shorthand
                | Kind::SmartQuote
                | Kind::LineComment
                | Kind::Hash
                | Kind::Semicolon
                | Kind::Colon
                | Kind::Star
                | Kind::Underscore
                | Kind::HeadingMarker
                | Kind::ListMarker
                | Kind::EnumMarker
                | Kind::TermMarker
                | Kind::LeftBracket
                | Kind::RightBracket
                | Kind::Str => {}
                Kind::Text => self.letters(&child),
                Kind::Markup
                | Kind::Strong
                | Kind::Emph
                | Kind::ListItem
                | Kind::EnumItem
                | Kind::TermItem => {
                    self.markup(&child, within);
                }
                Kind::Heading => {
                    self.heading(&child);
                    self.markup(&child, within);
                }
                Kind::ContentBlock => self.markup(&child, within),
                Kind::FuncCall => self.call(&child, within),
                _ => self.other(&child),
            }
        }
    }

    /// Letters that no face of the program has would be left out without a word.
    fn letters(&mut self, node: &LinkedNode) {
        let text = node.leaf_text();
        if let Some(letter) = text.chars().find(|letter| letter.is_control() || !covered(*letter)) {
            let help = "write such words in the course or its list of people, where faces for them are found";
            self.refuse(
                node,
                format!("no face of the program has the letter U+{:04X}", u32::from(letter)),
                help,
            );
        }
    }

    /// Headings begin at a level and skip none, as whoever hears the page goes from one to the next.
    fn heading(&mut self, node: &LinkedNode) {
        let marker = node.children().find(|child| child.kind() == Kind::HeadingMarker);
        let level = marker.map_or(1, |marker| marker.len());
        if level <= 1 || level > self.level + 1 {
            let right = "=".repeat((self.level + 1).clamp(2, 4));
            self.refuse(
                node,
                "a heading of this level cannot stand here",
                format!("begin it with `{right} `"),
            );
        }
        self.level = level;
    }

    /// A piece with what it is given.
    fn call(&mut self, node: &LinkedNode, within: usize) {
        if within > DEEPEST {
            return self.refuse(
                node,
                "pieces within pieces, too deep for a page",
                "take some of the brackets away",
            );
        }
        let mut parts = node.children();
        let callee = parts.next().filter(|callee| callee.kind() == Kind::Ident);
        let name = callee.as_ref().map(|callee| callee.leaf_text().to_string()).unwrap_or_default();
        let Some(options) = options_of(&name) else {
            let at = callee.unwrap_or_else(|| node.clone());
            return self.unknown(&at, &name);
        };
        if name == "v" && within > 0 {
            self.refuse(
                node,
                "room is left between parts of a page, not inside them",
                "take `#v` out of the brackets",
            );
        }
        let args: Vec<LinkedNode> = parts.collect();
        for arg in args.iter().flat_map(LinkedNode::children) {
            match arg.kind() {
                Kind::LeftParen | Kind::RightParen | Kind::Comma | Kind::Space | Kind::LineComment => {}
                Kind::Named => self.option(&arg, &name, options, within),
                _ => self.value(&arg, within),
            }
        }
        if name == "image" {
            self.image(node, &args);
        }
        if name == "pt" && number(node).is_none_or(|points| !TYPE.contains(&points)) {
            self.small_type(node);
        }
    }

    /// `name: value` of a piece.
    fn option(&mut self, node: &LinkedNode, piece: &str, options: &[&str], within: usize) {
        let Some((key, value)) = named(node) else { return };
        if !options.contains(&key.as_str()) {
            let help = if options.is_empty() {
                "it has no options".into()
            } else {
                format!("there are {}", options.join(", "))
            };
            return self.refuse(node, format!("`{piece}` has no option `{key}` on a club's page"), help);
        }
        let is_length = value.kind() == Kind::Numeric;
        if key == "size" && is_length && points(&value).is_none_or(|size| !TYPE.contains(&size)) {
            self.small_type(&value);
        }
        self.value(&value, within);
    }

    fn small_type(&mut self, node: &LinkedNode) {
        self.refuse(
            node,
            "this size of type is not for a page that is read in rain",
            "take `pt(9)` to `pt(39)`",
        );
    }

    fn unknown(&mut self, node: &LinkedNode, name: &str) {
        let help = instead_of(name).map_or_else(
            || format!("there are {}", PIECES.iter().map(|(known, _)| *known).collect::<Vec<_>>().join(", ")),
            str::to_owned,
        );
        self.refuse(node, format!("`{name}` is not a piece of a club's page"), help);
    }

    /// A value that a piece is given.
    fn value(&mut self, node: &LinkedNode, within: usize) {
        match node.kind() {
            Kind::Str | Kind::Bool | Kind::None | Kind::Auto => {}
            Kind::Int | Kind::Float => {
                if number_of(node).is_none_or(|number| number > LARGEST) {
                    self.refuse(
                        node,
                        "this number is too large for a page",
                        format!("take at most {LARGEST}"),
                    );
                }
            }
            Kind::Numeric => {
                if millimetres(node).is_none_or(|length| length > LONGEST) {
                    self.refuse(
                        node,
                        "this reaches beyond the page",
                        format!("take at most {LONGEST}mm or 100%"),
                    );
                }
            }
            Kind::Ident if NAMES.contains(&node.leaf_text().as_str()) => {}
            Kind::Ident => {
                let name = node.leaf_text().to_string();
                self.refuse(
                    node,
                    format!("`{name}` stands for nothing on a club's page"),
                    format!("there are {}", NAMES.join(", ")),
                );
            }
            Kind::ContentBlock => self.markup(node, within + 1),
            Kind::FuncCall => self.call(node, within + 1),
            Kind::Array | Kind::Dict | Kind::Parenthesized | Kind::Binary => {
                for child in node.children() {
                    match child.kind() {
                        Kind::LeftParen
                        | Kind::RightParen
                        | Kind::Comma
                        | Kind::Space
                        | Kind::LineComment
                        | Kind::Plus
                        // Alone in brackets: an empty dictionary.
                        | Kind::Colon => {}
                        Kind::Named => {
                            if let Some((_, value)) = named(&child) {
                                self.value(&value, within);
                            }
                        }
                        _ => self.value(&child, within),
                    }
                }
            }
            _ => self.other(node),
        }
    }

    /// A picture is one that the club's list names, and says what it shows.
    fn image(&mut self, node: &LinkedNode, args: &[LinkedNode]) {
        let args: Vec<LinkedNode> = args.iter().flat_map(LinkedNode::children).collect();
        let file =
            args.iter().find(|arg| arg.kind() == Kind::Str).map(|file| string_of(file)).unwrap_or_default();
        if !file.starts_with(PICTURES) || file.contains("..") {
            let help = "name the file under `pictures:` in pages.yaml and write `#image({{ pictures.hut|exact }}, alt: \"…\", height: 60mm)`";
            self.refuse(node, "a picture on a club's page is one that its list names", help);
        }
        let height = args.iter().filter_map(named).find(|(key, _)| key == "height");
        if height.is_none_or(|(_, value)| split(&value).is_none_or(|(_, unit)| unit == "%")) {
            let help = "add how high it is on the page: `height: 60mm`";
            self.refuse(node, "a picture that could run off its page", help);
        }
        let alt = args.iter().filter_map(named).find(|(key, _)| key == "alt");
        let said = alt.map(|(_, value)| string_of(&value)).unwrap_or_default();
        if said.trim().chars().count() < LEAST_SAID {
            let help = "add what somebody who cannot see it needs to know: `alt: \"The hut from the road, its door on the left\"`";
            self.refuse(node, "a picture without words for those who cannot see it", help);
        }
    }

    /// Whatever is no words and no piece.
    fn other(&mut self, node: &LinkedNode) {
        let (message, help) = match node.kind() {
            Kind::ModuleImport | Kind::ModuleInclude => {
                ("a club's page reads no other file", "take the line away; the pieces are there without it")
            }
            Kind::SetRule | Kind::ShowRule => (
                "a club's page does not change how pages look: head, caution and type stay",
                "take the line away; give a piece its options instead, such as `#text(weight: \"bold\")[…]`",
            ),
            Kind::Conditional | Kind::ForLoop | Kind::WhileLoop => (
                "choices and repetition are not written with `#`",
                "write `{% if … %}` or `{% for … in … %}`",
            ),
            Kind::LetBinding
            | Kind::Closure
            | Kind::CodeBlock
            | Kind::Code
            | Kind::Contextual
            | Kind::Unary => (
                "a club's page holds words and pieces, no program",
                "say it in words, or with the pieces as they are",
            ),
            Kind::Equation => ("a `$` begins mathematics", "write `\\$` for the sign itself"),
            Kind::Label => ("a `<name>` is a label", "write `\\<` for the sign itself"),
            Kind::Ref | Kind::RefMarker => ("an `@` begins a reference", "write `\\@` for the sign itself"),
            Kind::Raw => ("a backtick begins raw text", "write \\` for the sign itself"),
            Kind::Link => {
                ("an address is cut off where the page is printed", "put it in quotes: `#\"https://…\"`")
            }
            Kind::BlockComment => {
                ("a remark of several lines could swallow the rest of the page", "begin each line with `//`")
            }
            Kind::Error => {
                ("the typesetter cannot read this", "is a bracket or a quote left open, or one too many?")
            }
            _ => ("this is not for a club's page", "say it in words, or with the pieces as they are"),
        };
        self.refuse(node, message, help);
    }
}

/// Fewest letters that tell what a picture shows.
const LEAST_SAID: usize = 10;

#[cfg(test)]
mod tests;
