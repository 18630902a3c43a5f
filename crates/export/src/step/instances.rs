//! Numbered instances of the data section, written so that references only point backwards.

use std::collections::HashMap;

use gripwright_solid::Point3;

use super::literals;

/// Number of a written instance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Id(u32);

/// Writer of instances. An instance can only refer to earlier ones, so that no reference dangles.
pub(super) struct Instances {
    text: String,
    last: u32,
    /// Directions already written, keyed by the bits of their components: a holder uses a few dozen hundreds of times.
    directions: HashMap<[u64; 3], Id>,
}

impl Instances {
    /// Writer that appends to `text`.
    pub(super) fn new(text: String) -> Self {
        Self { text, last: 0, directions: HashMap::new() }
    }

    /// Returns the text with all instances.
    pub(super) fn into_text(self) -> String {
        self.text
    }

    /// Writes `#n=KEYWORD(…);` with the parameters that `fill` adds.
    pub(super) fn entity(&mut self, keyword: &str, fill: impl FnOnce(&mut Parameters<'_>)) -> Id {
        self.instance(|parameters| {
            parameters.text.push_str(keyword);
            parameters.bracketed(fill);
        })
    }

    /// Writes `#n=(A(…)B(…));`, an instance of several types at once; `fill` adds the types with [`Parameters::partial`].
    pub(super) fn complex(&mut self, fill: impl FnOnce(&mut Parameters<'_>)) -> Id {
        self.instance(|parameters| {
            parameters.bracketed(fill);
        })
    }

    /// Writes a point.
    pub(super) fn point(&mut self, at: Point3) -> Id {
        self.entity("CARTESIAN_POINT", |p| {
            p.text("").reals(&at);
        })
    }

    /// Returns the instance of a direction; equal directions share one.
    pub(super) fn direction(&mut self, direction: Point3) -> Id {
        // Adding zero turns −0 into 0, so that both share an instance.
        let key = direction.map(|component| (component + 0.0).to_bits());
        if let Some(&id) = self.directions.get(&key) {
            return id;
        }
        let id = self.entity("DIRECTION", |p| {
            p.text("").reals(&direction);
        });
        self.directions.insert(key, id);
        id
    }

    fn instance(&mut self, fill: impl FnOnce(&mut Parameters<'_>)) -> Id {
        self.last += 1;
        self.text.push('#');
        literals::push_integer(&mut self.text, self.last);
        self.text.push('=');
        fill(&mut Parameters { text: &mut self.text, empty: true });
        self.text.push_str(";\n");
        Id(self.last)
    }
}

/// Parameter list of one instance; its methods add parameters and the commas between them.
pub(super) struct Parameters<'a> {
    text: &'a mut String,
    empty: bool,
}

impl Parameters<'_> {
    /// Adds a quoted string.
    pub(super) fn text(&mut self, value: &str) -> &mut Self {
        self.separate();
        literals::push_quoted(self.text, value);
        self
    }

    /// Adds a real.
    pub(super) fn real(&mut self, value: f64) -> &mut Self {
        self.separate();
        literals::push_real(self.text, value);
        self
    }

    /// Adds a bracketed list of reals.
    pub(super) fn reals(&mut self, values: &[f64]) -> &mut Self {
        self.list(|p| {
            for &value in values {
                p.real(value);
            }
        })
    }

    /// Adds a reference to an earlier instance.
    pub(super) fn id(&mut self, id: Id) -> &mut Self {
        self.separate();
        self.text.push('#');
        literals::push_integer(self.text, id.0);
        self
    }

    /// Adds a bracketed list of references.
    pub(super) fn ids(&mut self, ids: &[Id]) -> &mut Self {
        self.list(|p| {
            for &id in ids {
                p.id(id);
            }
        })
    }

    /// Adds a Boolean.
    pub(super) fn boolean(&mut self, value: bool) -> &mut Self {
        self.token(if value { ".T." } else { ".F." })
    }

    /// Adds text that needs no encoding: `*`, `$`, integers and enumerations.
    pub(super) fn token(&mut self, token: &str) -> &mut Self {
        self.separate();
        self.text.push_str(token);
        self
    }

    /// Adds a typed value: `KEYWORD(…)`.
    pub(super) fn typed(&mut self, keyword: &str, fill: impl FnOnce(&mut Parameters<'_>)) -> &mut Self {
        self.separate();
        self.text.push_str(keyword);
        self.bracketed(fill)
    }

    /// Adds the part of a complex instance that belongs to one type: `KEYWORD(…)` without a comma before it.
    pub(super) fn partial(&mut self, keyword: &str, fill: impl FnOnce(&mut Parameters<'_>)) -> &mut Self {
        self.text.push_str(keyword);
        self.bracketed(fill)
    }

    /// Adds a bracketed list of the parameters that `fill` adds.
    pub(super) fn list(&mut self, fill: impl FnOnce(&mut Parameters<'_>)) -> &mut Self {
        self.separate();
        self.bracketed(fill)
    }

    fn bracketed(&mut self, fill: impl FnOnce(&mut Parameters<'_>)) -> &mut Self {
        self.text.push('(');
        fill(&mut Parameters { text: self.text, empty: true });
        self.text.push(')');
        self
    }

    fn separate(&mut self) {
        if !self.empty {
            self.text.push(',');
        }
        self.empty = false;
    }
}
