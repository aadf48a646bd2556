//! A document as one HTML page: no script, no link, nothing outside the file.

use std::fmt::Write;

use colour::{Lab, rgb};

use crate::{Block, Document};

const STYLE: &str = "body{font:16px/1.5 'IBM Plex Sans',sans-serif;max-width:42rem;margin:2rem auto;padding:0 1rem;\
background:#f4f4f4;color:#0c0c0c}h1{font-size:2rem;line-height:1.25}h2{font-size:1.5rem}h3{font-size:1.1rem}\
table{border-collapse:collapse;width:100%}th,td{text-align:left;padding:.25rem .75rem .25rem 0;vertical-align:top;\
border-bottom:1px solid #bdbdbd}ol{list-style:none;padding:0}ol li{padding:.35rem 0}ol li::before{content:'';\
display:inline-block;width:.9rem;height:.9rem;border:2px solid #0c0c0c;margin-right:.75rem;vertical-align:-.1rem}\
.how{color:#3c3c3c}.caution{background:#e4e4e4;padding:.75rem 1rem;margin:.5rem 0}.swatches{display:flex}\
.swatches div{flex:1}.swatches i{display:block;height:4.5rem}.swatches span{font-size:.875rem}\
@media print{body{background:#fff;margin:0;max-width:none}.caution,tr,li{break-inside:avoid}\
.swatches i{print-color-adjust:exact;-webkit-print-color-adjust:exact}}";

/// The document as an HTML page.
pub fn html(document: &Document) -> String {
    let title = escaped(&document.title);
    let mut page = format!(
        "<!doctype html>\n<html lang=\"en-GB\">\n<meta charset=\"utf-8\">\n<title>{title}</title>\n\
         <style>{STYLE}</style>\n<h1>{title}</h1>\n"
    );
    for block in &document.blocks {
        page.push_str(&block_html(block));
    }
    page.push_str("</html>\n");
    page
}

fn block_html(block: &Block) -> String {
    match block {
        Block::Heading { level, text } => {
            let tag = if *level <= 1 { "h2" } else { "h3" };
            format!("<{tag}>{}</{tag}>\n", escaped(text))
        }
        Block::Text(text) => format!("<p>{}</p>\n", escaped(text)),
        Block::Caution { lead, text } => {
            format!("<p class=\"caution\"><strong>{}</strong> {}</p>\n", escaped(lead), escaped(text))
        }
        Block::Swatches(swatches) => {
            let cells = swatches.iter().map(|swatch| {
                format!(
                    "<div><i style=\"background:{}\"></i><span>{}</span></div>",
                    css(swatch.lab),
                    escaped(&swatch.name)
                )
            });
            format!("<div class=\"swatches\">{}</div>\n", cells.collect::<String>())
        }
        Block::Steps(lines) => {
            let items = lines.iter().map(|line| {
                format!(
                    "<li><strong>{}</strong> <span class=\"how\">{}</span></li>",
                    escaped(&line.what),
                    escaped(&line.how)
                )
            });
            format!("<ol>{}</ol>\n", items.collect::<String>())
        }
        Block::Table { head, rows } => table_html(head, rows),
    }
}

fn table_html(head: &[String], rows: &[Vec<String>]) -> String {
    let row = |cells: &[String], tag: &str| {
        let cells = cells.iter().map(|cell| format!("<{tag}>{}</{tag}>", escaped(cell))).collect::<String>();
        format!("<tr>{cells}</tr>")
    };
    let body = rows.iter().map(|cells| row(cells, "td")).collect::<String>();
    format!("<table>{}{body}</table>\n", row(head, "th"))
}

/// The colour as CSS writes it, in sRGB; outside sRGB the nearest by clipping each channel.
fn css(lab: Lab) -> String {
    let [r, g, b] = rgb::srgb8_from_lab(lab).code;
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// Text with the five characters that mean something in HTML written out.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            other => {
                let _ = write!(safe, "{other}");
            }
        }
    }
    safe
}
