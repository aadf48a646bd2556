//! What the parser says of a value that is not what it should be, in plain words.

/// `missing field` becomes 'is missing', types get the names that people use.
pub(super) fn words(said: &str) -> String {
    if let Some(field) = quoted_after(said, "missing field ") {
        return format!("'{field}' is missing");
    }
    if let Some((found, expected)) = said.strip_prefix("invalid type: ").and_then(|rest| rest.split_once(", expected "))
    {
        return format!("expected {}, found {}", wanted(expected), given(found));
    }
    if let Some((found, expected)) =
        said.strip_prefix("invalid value: ").and_then(|rest| rest.split_once(", expected "))
    {
        return format!("expected {}, found {}", wanted(expected), given(found));
    }
    if let Some((found, known)) = said.strip_prefix("unknown variant ").and_then(|rest| rest.split_once(", expected "))
    {
        let known = known.strip_prefix("one of ").unwrap_or(known);
        return format!("'{}' is not known; it may be {}", found.trim_matches('`'), known.replace('`', "'"));
    }
    said.to_owned()
}

fn quoted_after<'t>(said: &'t str, start: &str) -> Option<&'t str> {
    said.strip_prefix(start)?.strip_prefix('`')?.strip_suffix('`')
}

/// What should stand there.
fn wanted(expected: &str) -> String {
    let words = match expected {
        "u8" | "u16" | "u32" | "u64" | "usize" => "a whole number from 0 on",
        "i32" | "i64" => "a whole number",
        "f32" | "f64" => "a number",
        "a string" | "string" => "text",
        "a boolean" => "true or false",
        "a sequence" => "a list",
        "a map" => "an object in braces",
        other if other.starts_with("struct ") || other.starts_with("internally") => "an object in braces",
        other if other.starts_with("enum ") => "one of the words that may stand here",
        other => other,
    };
    words.to_owned()
}

/// What stands there.
fn given(found: &str) -> String {
    let inside = |start: &str| found.strip_prefix(start).map(|rest| rest.trim_matches('`').to_owned());
    if let Some(text) = inside("string ") {
        return format!("the text {text}");
    }
    if let Some(number) = inside("integer ").or_else(|| inside("floating point ")) {
        return format!("the number {number}");
    }
    if let Some(value) = inside("boolean ") {
        return value;
    }
    match found {
        "map" => "an object in braces".to_owned(),
        "sequence" => "a list".to_owned(),
        "null" => "nothing (null)".to_owned(),
        other => other.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::words;

    /// The messages of `serde`'s own documentation and errors (`serde::de::Error`).
    #[test]
    fn a_parsers_words_are_made_plain() {
        for (said, plain) in [
            ("missing field `name`", "'name' is missing"),
            (
                r#"invalid type: string "two", expected u32"#,
                r#"expected a whole number from 0 on, found the text "two""#,
            ),
            ("invalid type: map, expected a sequence", "expected a list, found an object in braces"),
            ("invalid value: integer `-1`, expected u32", "expected a whole number from 0 on, found the number -1"),
            ("unknown variant `dip`, expected `dye` or `stain`", "'dip' is not known; it may be 'dye' or 'stain'"),
            ("expected three numbers", "expected three numbers"),
        ] {
            assert_eq!(words(said), plain);
        }
    }
}
