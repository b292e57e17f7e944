//! The templates, embedded, and how they are filled.

use minijinja::AutoEscape;
use minijinja::Environment;
use minijinja::UndefinedBehavior;
use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use serde::Serialize;

use crate::report::page::escape;

/// Every file of `templates/`: its name and its text.
pub const TEMPLATES: &[(&str, &str)] = &[
    ("check.html", include_str!("../../../templates/check.html")),
    ("cover.css", include_str!("../../../templates/cover.css")),
    ("cover.html", include_str!("../../../templates/cover.html")),
    (
        "doorstep.css",
        include_str!("../../../templates/doorstep.css"),
    ),
    (
        "doorstep.html",
        include_str!("../../../templates/doorstep.html"),
    ),
    (
        "doorstep.js",
        include_str!("../../../templates/doorstep.js"),
    ),
    (
        "drawing.html",
        include_str!("../../../templates/drawing.html"),
    ),
    (
        "figure.html",
        include_str!("../../../templates/figure.html"),
    ),
    (
        "finding.html",
        include_str!("../../../templates/finding.html"),
    ),
    (
        "handover.css",
        include_str!("../../../templates/handover.css"),
    ),
    (
        "handover.html",
        include_str!("../../../templates/handover.html"),
    ),
    ("head.html", include_str!("../../../templates/head.html")),
    ("label.css", include_str!("../../../templates/label.css")),
    ("label.html", include_str!("../../../templates/label.html")),
    ("page.html", include_str!("../../../templates/page.html")),
    ("pair.html", include_str!("../../../templates/pair.html")),
    (
        "palette.css",
        include_str!("../../../templates/palette.css"),
    ),
    ("place.html", include_str!("../../../templates/place.html")),
    (
        "private.html",
        include_str!("../../../templates/private.html"),
    ),
    (
        "remarks.html",
        include_str!("../../../templates/remarks.html"),
    ),
    ("shop.html", include_str!("../../../templates/shop.html")),
    (
        "shotlist.css",
        include_str!("../../../templates/shotlist.css"),
    ),
    (
        "shotlist.html",
        include_str!("../../../templates/shotlist.html"),
    ),
    (
        "shotlist.js",
        include_str!("../../../templates/shotlist.js"),
    ),
    ("slide.js", include_str!("../../../templates/slide.js")),
    (
        "statement.html",
        include_str!("../../../templates/statement.html"),
    ),
    ("style.css", include_str!("../../../templates/style.css")),
];

/// The text of a file of `templates/`; empty when there is none.
pub(in crate::report) fn text_of(name: &str) -> &'static str {
    let found = TEMPLATES.iter().find(|(it, _)| *it == name);
    found.map_or("", |(_, text)| text)
}

/// The style of a page from the files named, in their order.
pub(in crate::report) fn style_of(names: &[&str]) -> String {
    let texts: Vec<&str> = names.iter().map(|it| text_of(it).trim()).collect();
    texts.join("\n")
}

/// Fills the template of this name.
///
/// # Errors
/// When there is no such template, or one asks for something that the view does not have.
pub(in crate::report) fn fill(
    name: &str,
    view: &impl Serialize,
) -> Result<String, minijinja::Error> {
    let mut env = Environment::new();
    env.set_undefined_behavior(UndefinedBehavior::Strict);
    env.set_auto_escape_callback(|name| match name.ends_with(".html") {
        true => AutoEscape::Html,
        false => AutoEscape::None,
    });
    let mut syntax = SyntaxConfig::builder();
    syntax.trim_blocks(true).lstrip_blocks(true);
    env.set_syntax(syntax.build()?);
    env.set_formatter(escape::harmless);
    for (name, text) in TEMPLATES {
        if name.ends_with(".html") {
            env.add_template(name, text)?;
        }
    }
    env.get_template(name)?.render(Serde(view))
}
