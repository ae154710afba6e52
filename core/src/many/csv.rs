//! Tables as text: RFC 4180, read with some patience, written so that no spreadsheet runs a cell.

/// A row of cells with the line on which it begins.
pub type Line = (usize, Vec<String>);

/// A cell as it is written: quoted where it must be, and never read as a formula. A cell that
/// begins as a formula does gets an apostrophe before it; a number keeps its sign.
pub fn cell(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']) && text.parse::<f64>().is_err();
    let text = if formula { format!("'{text}") } else { text.to_owned() };
    let quoted = text.contains([',', ';', '"', '\n', '\r', '\t']) || text.starts_with(' ') || text.ends_with(' ');
    if quoted { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

/// A line of cells with its end.
pub fn line<'c>(cells: impl IntoIterator<Item = &'c str>) -> String {
    let cells: Vec<String> = cells.into_iter().map(cell).collect();
    cells.join(",") + "\r\n"
}

/// Reads a table. Its cells are parted by commas, or by semicolons or tabs where the first line
/// has those and no comma; empty lines are left out, and so is a mark of byte order.
///
/// # Errors
/// The line on which a quoted cell begins that does not end.
pub fn parse(text: &str) -> Result<Vec<Line>, usize> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or("");
    let parted = [',', ';', '\t'].into_iter().find(|sign| first.contains(*sign)).unwrap_or(',');
    let mut rows: Vec<Line> = Vec::new();
    let (mut row, mut cell): (Vec<String>, String) = (Vec::new(), String::new());
    let (mut line, mut begun) = (1, 1);
    // Where a quoted cell began, while one is open.
    let mut open: Option<usize> = None;
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        line += usize::from(sign == '\n');
        match sign {
            '"' if open.is_some() && signs.peek() == Some(&'"') => {
                signs.next();
                cell.push('"');
            }
            '"' if open.is_some() => open = None,
            _ if open.is_some() => cell.push(sign),
            '"' if cell.trim().is_empty() => {
                cell.clear();
                open = Some(line);
            }
            '\n' => {
                row.push(std::mem::take(&mut cell));
                keep(&mut rows, begun, std::mem::take(&mut row));
                begun = line;
            }
            '\r' if signs.peek() == Some(&'\n') => {}
            _ if sign == parted => row.push(std::mem::take(&mut cell)),
            _ => cell.push(sign),
        }
    }
    if let Some(line) = open {
        return Err(line);
    }
    row.push(cell);
    keep(&mut rows, begun, row);
    Ok(rows)
}

fn keep(rows: &mut Vec<Line>, line: usize, row: Vec<String>) {
    let row: Vec<String> = row.into_iter().map(|cell| cell.trim().to_owned()).collect();
    if row.iter().any(|cell| !cell.is_empty()) {
        rows.push((line, row));
    }
}
