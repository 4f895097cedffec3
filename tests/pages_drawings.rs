//! Finds the drawings in a document's source and reads back the numbers they are made from.

use serde_json::{Map, Value, json};
use typst_syntax::ast;
use typst_syntax::{SyntaxKind, SyntaxNode};

/// A drawing as a document calls for it.
pub(crate) struct Drawing {
    /// Its kind: the name of the function that draws it.
    pub kind: String,
    /// What it is given in order.
    pub given: Vec<Value>,
    /// What it is given by name.
    pub named: Map<String, Value>,
}

impl Drawing {
    /// Its spoken text.
    pub(crate) fn alt(&self) -> &str {
        self.named["alt"].as_str().expect("a drawing has a spoken text")
    }
}

/// A literal of the typesetter's language as data; content is left out.
fn literal(expression: ast::Expr) -> Value {
    match expression {
        ast::Expr::Str(text) => json!(text.get().as_str()),
        ast::Expr::Int(whole) => json!(whole.get() as f64),
        ast::Expr::Float(number) => json!(number.get()),
        ast::Expr::Bool(truth) => json!(truth.get()),
        ast::Expr::Parenthesized(inner) => literal(inner.expr()),
        ast::Expr::Unary(minus) => {
            literal(minus.expr()).as_f64().map_or(Value::Null, |number| json!(-number))
        }
        ast::Expr::Array(items) => items
            .items()
            .map(|item| match item {
                ast::ArrayItem::Pos(item) => literal(item),
                ast::ArrayItem::Spread(_) => Value::Null,
            })
            .collect(),
        ast::Expr::Dict(items) => Value::Object(
            items
                .items()
                .filter_map(|item| match item {
                    ast::DictItem::Named(pair) => Some((pair.name().get().to_string(), literal(pair.expr()))),
                    ast::DictItem::Keyed(pair) => {
                        Some((literal(pair.key()).as_str()?.to_owned(), literal(pair.expr())))
                    }
                    ast::DictItem::Spread(_) => None,
                })
                .collect(),
        ),
        _ => Value::Null,
    }
}

/// Every call of one of the drawings in a document's source.
pub(crate) fn drawings(source: &str) -> Vec<Drawing> {
    drawings_of(source, &KINDS)
}

const KINDS: [&str; 9] = [
    "slope-profile",
    "slope-forces",
    "side-slope",
    "line-chart",
    "gear-ladder",
    "heat-bars",
    "hold-chart",
    "fleet-matrix",
    "side-figure",
];

/// Every call of a drawing of these kinds in a document's source.
pub(crate) fn drawings_of(source: &str, kinds: &[&str]) -> Vec<Drawing> {
    fn walk(node: &SyntaxNode, kinds: &[&str], found: &mut Vec<Drawing>) {
        if node.kind() == SyntaxKind::FuncCall {
            let call = node.cast::<ast::FuncCall>().expect("a call");
            let kind = match call.callee() {
                ast::Expr::Ident(name) => name.get().to_string(),
                _ => String::new(),
            };
            if kinds.contains(&kind.as_str()) {
                let mut drawing = Drawing { kind, given: Vec::new(), named: Map::new() };
                for argument in call.args().items() {
                    match argument {
                        ast::Arg::Pos(value) => drawing.given.push(literal(value)),
                        ast::Arg::Named(pair) => {
                            drawing.named.insert(pair.name().get().to_string(), literal(pair.expr()));
                        }
                        ast::Arg::Spread(_) => {}
                    }
                }
                found.push(drawing);
            }
        }
        node.children().for_each(|child| walk(child, kinds, found));
    }
    let mut found = Vec::new();
    walk(&typst_syntax::parse(source), kinds, &mut found);
    found
}
