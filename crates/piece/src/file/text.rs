//! JSON as a person would lay it out: what is short stands on one line, a matrix or a region included.

use serde_json::Value;

/// Longer lines are broken, where they can be.
const LINE_CHARS: usize = 120;

/// The text of a file, with a line break at the end. Each element of a list at the top stands on lines of its own.
pub(super) fn pretty(value: &Value) -> String {
    let mut out = String::new();
    lay(&mut out, value, 0, 0);
    out.push('\n');
    out
}

/// Lays out a value that begins after `used` characters of its line, at this depth.
fn lay(out: &mut String, value: &Value, depth: usize, used: usize) {
    let short = short(value);
    let nested = value.as_array().is_some_and(|elements| elements.iter().any(Value::is_object));
    let break_anyway = depth == 0 || (depth == 1 && nested);
    match value {
        Value::Array(elements)
            if !elements.is_empty() && (break_anyway || used + short.chars().count() > LINE_CHARS) =>
        {
            let last = elements.len() - 1;
            out.push_str("[\n");
            for (index, element) in elements.iter().enumerate() {
                indent(out, depth + 1);
                lay(out, element, depth + 1, 2 * (depth + 1) + 1);
                out.push_str(if index == last { "\n" } else { ",\n" });
            }
            indent(out, depth);
            out.push(']');
        }
        Value::Object(fields) if !fields.is_empty() && (break_anyway || used + short.chars().count() > LINE_CHARS) => {
            let last = fields.len() - 1;
            out.push_str("{\n");
            for (index, (key, field)) in fields.iter().enumerate() {
                indent(out, depth + 1);
                let key = quoted(key);
                out.push_str(&key);
                out.push_str(": ");
                lay(out, field, depth + 1, 2 * (depth + 1) + key.chars().count() + 3);
                out.push_str(if index == last { "\n" } else { ",\n" });
            }
            indent(out, depth);
            out.push('}');
        }
        _ => out.push_str(&short),
    }
}

fn indent(out: &mut String, depth: usize) {
    out.extend(std::iter::repeat_n("  ", depth));
}

fn quoted(text: &str) -> String {
    Value::from(text).to_string()
}

/// The value on one line.
fn short(value: &Value) -> String {
    match value {
        Value::Array(elements) => {
            let elements: Vec<String> = elements.iter().map(short).collect();
            format!("[{}]", elements.join(", "))
        }
        Value::Object(fields) if fields.is_empty() => "{}".into(),
        Value::Object(fields) => {
            let fields: Vec<String> =
                fields.iter().map(|(key, field)| format!("{}: {}", quoted(key), short(field))).collect();
            format!("{{ {} }}", fields.join(", "))
        }
        scalar => scalar.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn short_things_stand_on_one_line_and_long_ones_are_broken() {
        let value = json!({
            "name": "top \"and\" door",
            "none": [], "nothing": {},
            "joints": [{"a": "p1", "b": "p2"}],
            "reading": {"lab": [50, 1.5, -2], "note": "x".repeat(100), "region_px": [[1, 2], [3, 4]]},
        });
        let expected = format!(
            r#"{{
  "name": "top \"and\" door",
  "none": [],
  "nothing": {{}},
  "joints": [
    {{ "a": "p1", "b": "p2" }}
  ],
  "reading": {{
    "lab": [50, 1.5, -2],
    "note": "{}",
    "region_px": [[1, 2], [3, 4]]
  }}
}}
"#,
            "x".repeat(100)
        );
        assert_eq!(pretty(&value), expected);
        assert_eq!(serde_json::from_str::<Value>(&pretty(&value)).unwrap(), value);
    }
}
