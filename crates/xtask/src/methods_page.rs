//! Turns the methods page of the stroke crate into a page of the site, so that there is one text.

use std::fs;

use anyhow::{Context, Result};
use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd, html};

use crate::run::root;

/// Writes `www/methods.html` from `crates/stroke/METHODS.md`.
pub fn write() -> Result<()> {
    let source = root().join("crates/stroke/METHODS.md");
    let text = fs::read_to_string(&source).with_context(|| format!("cannot read {}", source.display()))?;
    let page = page_of(&text);
    let written = root().join("www/methods.html");
    if fs::read_to_string(&written).ok().as_deref() != Some(&page) {
        fs::write(&written, page).with_context(|| format!("cannot write {}", written.display()))?;
    }
    Ok(())
}

/// A whole page from Markdown; each heading gets an anchor made of its words, so that a number on the
/// screen can link to its own section.
fn page_of(markdown: &str) -> String {
    let options = Options::ENABLE_TABLES | Options::ENABLE_FOOTNOTES;
    let mut events: Vec<Event<'_>> = Parser::new_ext(markdown, options).collect();
    let mut title = String::from("Methods");
    let mut open_heading: Option<usize> = None;
    let mut words = String::new();
    for index in 0..events.len() {
        match &events[index] {
            Event::Start(Tag::Heading { .. }) => {
                open_heading = Some(index);
                words.clear();
            }
            Event::Text(text) | Event::Code(text) if open_heading.is_some() => words.push_str(text),
            Event::End(TagEnd::Heading(level)) => {
                if *level == HeadingLevel::H1 {
                    title.clone_from(&words);
                }
                if let Some(start) = open_heading.take()
                    && let Event::Start(Tag::Heading { id, .. }) = &mut events[start]
                {
                    *id = Some(anchor_of(&words).into());
                }
            }
            _ => {}
        }
    }
    let mut body = String::new();
    html::push_html(&mut body, events.into_iter());
    // Wide tables scroll inside themselves, so that the page never scrolls sideways on a phone.
    let body = body.replace(
        "<table>",
        "<div class=\"table-scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Table\"><table>",
    );
    let body = body.replace("</table>", "</table></div>");
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'self'; font-src 'self'; img-src 'self' data:\">\n\
         <title>{title}</title>\n\
         <link rel=\"icon\" href=\"icon.svg\" type=\"image/svg+xml\">\n\
         <link rel=\"stylesheet\" href=\"styles/tokens.css\">\n<link rel=\"stylesheet\" href=\"styles/base.css\">\n\
         <link rel=\"stylesheet\" href=\"styles/methods.css\">\n</head>\n<body class=\"methods\">\n\
         <p class=\"methods-back\"><a href=\"./\">Back to wetframe</a></p>\n<main>\n{body}</main>\n</body>\n</html>\n"
    )
}

fn anchor_of(words: &str) -> String {
    let mut anchor = String::new();
    for letter in words.chars() {
        if letter.is_alphanumeric() {
            anchor.extend(letter.to_lowercase());
        } else if !anchor.is_empty() && !anchor.ends_with('-') {
            anchor.push('-');
        }
    }
    anchor.trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_get_anchors_of_their_words_and_the_first_names_the_page() {
        let page = page_of("# What the numbers mean\n\n## Index of coordination (`IdC`)\n\ntext");
        assert!(page.contains("<title>What the numbers mean</title>"));
        assert!(page.contains("<h2 id=\"index-of-coordination-idc\">"));
    }

    #[test]
    fn a_table_can_be_scrolled_by_itself() {
        let page = page_of("|a|b|\n|-|-|\n|1|2|\n");
        assert!(page.contains("role=\"region\" aria-label=\"Table\"><table>"));
        assert_eq!(page.matches("</table></div>").count(), 1);
    }
}
