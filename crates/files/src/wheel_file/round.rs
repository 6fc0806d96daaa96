//! Lists that go round the seats of a rim or the spokes of a side.

use crate::toml_reader::{Read, Table, Value};

/// Lists that go round something and begin anew.
pub(super) struct Round<'t, 'd> {
    pub(super) table: &'t Table<'d>,
    pub(super) what: &'static str,
    /// How many there are, if that could be read.
    pub(super) count: Option<usize>,
}

impl<'d> Round<'_, 'd> {
    /// The list under a key, or the one value that stands for all.
    pub(super) fn list<T>(
        &self,
        key: &str,
        each: impl Fn(&Value<'d>) -> Read<T>,
    ) -> Read<Option<Vec<T>>> {
        let Some(value) = self.table.optional(key) else {
            return Ok(None);
        };
        let items = if value.is_array() {
            value.items()?
        } else {
            vec![value]
        };
        let items: Vec<_> = items.iter().map(each).collect();
        let items: Vec<T> = items.into_iter().collect::<Read<_>>()?;
        self.fits(&value, items.len())?;
        Ok(Some(items))
    }

    /// Refuses a list that does not go a whole number of times round.
    pub(super) fn fits(&self, value: &Value<'d>, length: usize) -> Read<()> {
        if length == 0 {
            return Err(value.trouble("the list is empty", "Fill it in or leave the line out."));
        }
        let Some(count) = self.count.filter(|count| !count.is_multiple_of(length)) else {
            return Ok(());
        };
        let (what, title) = (self.what, self.table.title());
        let divisors: Vec<_> = (1..=count)
            .filter(|&length| count.is_multiple_of(length))
            .collect();
        let fitting = divisors
            .iter()
            .map(usize::to_string)
            .collect::<Vec<_>>()
            .join(", ");
        Err(value.trouble(
            format!("a list of {length} does not go a whole number of times into the {count} {what} of {title}"),
            format!("A list begins anew when it ends; these lengths fit: {fitting}."),
        ))
    }
}

/// The smallest number into which both go; neither is 0.
pub(super) fn least_common_multiple(a: usize, b: usize) -> usize {
    (1..=b)
        .map(|times| a * times)
        .find(|multiple| multiple.is_multiple_of(b))
        .unwrap_or(a * b)
}
