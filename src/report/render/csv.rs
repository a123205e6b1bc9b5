//! Records as CSV, the form of RFC 4180.
//!
//! Quoting is left to a library; that no cell is taken for a formula by a table program is
//! seen to where a name becomes a cell ([`super::escape`]).

use super::document::Records;

/// Renders records as CSV with one heading line.
///
/// # Panics
/// If a record does not have as many cells as there are fields.
///
/// # Examples
/// ```
/// use toothmark::report::{Records, csv};
/// let records = Records { fields: vec!["state", "ratio"], rows: vec![vec!["low, slow".into(), "3".into()]] };
/// assert_eq!(csv(&records), "state,ratio\n\"low, slow\",3\n");
/// ```
pub fn csv(records: &Records) -> String {
    let fields = records.fields.iter().map(ToString::to_string).collect();
    csv_rows(&[vec![fields], records.rows.clone()].concat())
}

/// Rows as CSV, without a heading.
pub(in crate::report) fn csv_rows(rows: &[Vec<String>]) -> String {
    let mut writer = ::csv::Writer::from_writer(Vec::new());
    for row in rows {
        writer.write_record(row).expect("a vector takes every byte, and all rows have one length");
    }
    let bytes = writer.into_inner().expect("a vector takes every byte");
    String::from_utf8(bytes).expect("all cells are text")
}
