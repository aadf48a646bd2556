//! Fields that this version does not know, kept for the version or the hand that wrote them.

use std::collections::BTreeMap;

use serde_json::{Map, Value};

/// Unknown fields by the object they stand in. Objects are told apart by their stable ids and not by their place, so
/// that fields stay with what they belong to when something is moved, added or removed before it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Extras {
    by_object: BTreeMap<Vec<String>, Map<String, Value>>,
}

impl Extras {
    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.by_object.is_empty()
    }

    /// Where each stands, in words, and its name; those that say nothing are left out.
    pub(crate) fn told(&self) -> impl Iterator<Item = (String, &str)> {
        let says_nothing = |value: &Value| match value {
            Value::Null => true,
            Value::String(text) => text.is_empty(),
            Value::Array(list) => list.is_empty(),
            Value::Object(object) => object.is_empty(),
            _ => false,
        };
        self.by_object.iter().flat_map(move |(at, fields)| {
            let at = if at.is_empty() { String::new() } else { format!(", {}", at.join(" ")) };
            let told = fields.iter().filter(move |(_, value)| !says_nothing(value));
            told.map(move |(field, _)| (at.clone(), field.as_str()))
        })
    }

    /// The fields of the original that do not stand in what is known of it.
    pub(super) fn beside(original: &Value, known: &Value) -> Self {
        let mut extras = Self::default();
        extras.gather(&mut Vec::new(), original, known);
        extras
    }

    fn gather(&mut self, at: &mut Vec<String>, original: &Value, known: &Value) {
        match (original, known) {
            (Value::Object(original), Value::Object(known)) => {
                for (key, value) in original {
                    match known.get(key) {
                        Some(known) => {
                            at.push(key.clone());
                            self.gather(at, value, known);
                            at.pop();
                        }
                        None => {
                            self.by_object.entry(at.clone()).or_default().insert(key.clone(), value.clone());
                        }
                    }
                }
            }
            (Value::Array(original), Value::Array(known)) => {
                for (index, (value, known)) in original.iter().zip(known).enumerate() {
                    at.push(identity(index, known));
                    self.gather(at, value, known);
                    at.pop();
                }
            }
            _ => {}
        }
    }

    /// Puts the fields back into the objects they came from, as far as those are still there.
    pub(super) fn put_back(&self, value: &mut Value) {
        if !self.is_empty() {
            self.put_back_at(&mut Vec::new(), value);
        }
    }

    fn put_back_at(&self, at: &mut Vec<String>, value: &mut Value) {
        match value {
            Value::Object(object) => {
                for (key, value) in object.iter_mut() {
                    at.push(key.clone());
                    self.put_back_at(at, value);
                    at.pop();
                }
                for (key, value) in self.by_object.get(at).into_iter().flatten() {
                    if !object.contains_key(key) {
                        object.insert(key.clone(), value.clone());
                    }
                }
            }
            Value::Array(elements) => {
                for (index, value) in elements.iter_mut().enumerate() {
                    at.push(identity(index, value));
                    self.put_back_at(at, value);
                    at.pop();
                }
            }
            _ => {}
        }
    }
}

/// What tells an element of a list from the others: its id; for a pair, both parts; for a share, a schedule or a shared
/// error, what it is of. A step has no id: its place and what it does, so that fields do not pass to another step.
fn identity(index: usize, element: &Value) -> String {
    let text = |key: &str| element.get(key).and_then(Value::as_str);
    if let (Some(a), Some(b)) = (text("a"), text("b")) {
        return format!("{}&{}", a.min(b), a.max(b));
    }
    if let Some(own) = ["id", "part", "product", "factor"].into_iter().find_map(text) {
        return own.to_owned();
    }
    let step = element.get("step").unwrap_or(element);
    let does = step.as_object().and_then(|step| step.keys().next()).map(String::as_str).or(step.as_str());
    format!("{index} {}", does.unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn fields_follow_their_object_by_id() {
        let original = json!({"x": 1, "parts": [{"id": "p1", "y": {"z": [1]}}, {"id": "p2", "name": "n", "y": null}]});
        let known = json!({"parts": [{"id": "p1"}, {"id": "p2", "name": "n"}]});
        let extras = Extras::beside(&original, &known);
        let mut moved = json!({"parts": [{"id": "p3"}, {"id": "p2", "name": "m"}, {"id": "p1", "y": 2}]});
        extras.put_back(&mut moved);
        let expected =
            json!({"x": 1, "parts": [{"id": "p3"}, {"id": "p2", "name": "m", "y": null}, {"id": "p1", "y": 2}]});
        assert_eq!(moved, expected);
    }

    #[test]
    fn fields_of_a_step_do_not_pass_to_another_step() {
        let stages = |first: Value| json!({"stages": [{"step": first}, {"step": "seal"}]});
        let extras = Extras::beside(
            &stages(json!({"sand": {"grit": 180, "by": "hand"}})),
            &stages(json!({"sand": {"grit": 180}})),
        );
        let mut same = stages(json!({"sand": {"grit": 220}}));
        extras.put_back(&mut same);
        assert_eq!(same, stages(json!({"sand": {"grit": 220, "by": "hand"}})));
        let mut other = stages(json!("seal"));
        extras.put_back(&mut other);
        assert_eq!(other, stages(json!("seal")));
    }
}
