//! The numbered instances of the data section, written in order of need.

use std::collections::HashMap;

use gripwright_solid::Point3;

use super::literals;

/// Number of a written instance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Id(u32);

/// Writes instances one after the other; an instance can only refer to earlier ones, so no reference dangles.
pub(super) struct Instances {
    text: String,
    last: u32,
    /// Directions already written, by the bits of their components: a holder has a few dozen, used hundreds of times.
    directions: HashMap<[u64; 3], Id>,
}

impl Instances {
    /// Continues `text`.
    pub(super) fn new(text: String) -> Self {
        Self { text, last: 0, directions: HashMap::new() }
    }

    /// The text with all instances.
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

    /// The instance of a direction; equal directions share one.
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

/// The parameter list of one instance; puts the commas.
pub(super) struct Parameters<'a> {
    text: &'a mut String,
    empty: bool,
}

impl Parameters<'_> {
    /// A quoted string.
    pub(super) fn text(&mut self, value: &str) -> &mut Self {
        self.separate();
        literals::push_quoted(self.text, value);
        self
    }

    /// A real.
    pub(super) fn real(&mut self, value: f64) -> &mut Self {
        self.separate();
        literals::push_real(self.text, value);
        self
    }

    /// A bracketed list of reals.
    pub(super) fn reals(&mut self, values: &[f64]) -> &mut Self {
        self.list(|p| {
            for &value in values {
                p.real(value);
            }
        })
    }

    /// A reference to an earlier instance.
    pub(super) fn id(&mut self, id: Id) -> &mut Self {
        self.separate();
        self.text.push('#');
        literals::push_integer(self.text, id.0);
        self
    }

    /// A bracketed list of references.
    pub(super) fn ids(&mut self, ids: &[Id]) -> &mut Self {
        self.list(|p| {
            for &id in ids {
                p.id(id);
            }
        })
    }

    /// A truth value.
    pub(super) fn truth(&mut self, value: bool) -> &mut Self {
        self.raw(if value { ".T." } else { ".F." })
    }

    /// Text that stands for itself: `*`, `$`, numbers and enumerations.
    pub(super) fn raw(&mut self, token: &str) -> &mut Self {
        self.separate();
        self.text.push_str(token);
        self
    }

    /// A typed value or the part of a complex instance that belongs to one type: `KEYWORD(…)`.
    pub(super) fn typed(&mut self, keyword: &str, fill: impl FnOnce(&mut Parameters<'_>)) -> &mut Self {
        self.separate();
        self.text.push_str(keyword);
        self.bracketed(fill)
    }

    /// Like [`typed`](Self::typed), but without a comma before it, as complex instances want.
    pub(super) fn partial(&mut self, keyword: &str, fill: impl FnOnce(&mut Parameters<'_>)) -> &mut Self {
        self.text.push_str(keyword);
        self.bracketed(fill)
    }

    /// A bracketed list of whatever `fill` adds.
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
