//! What the files of programs are called.

/// The file name of the program of a setup; one that is not proved says so.
pub fn program_file(setup: u32, proved: bool) -> String {
    let word = if proved { "" } else { "-UNPROVED" };
    format!("program-{setup}{word}.nc")
}

/// The file name of the program of a load of so many pieces in a setup.
pub fn load_file(setup: u32, pieces: u32, proved: bool) -> String {
    let word = if proved { "" } else { "-UNPROVED" };
    format!("load-{setup}-of-{pieces}{word}.nc")
}
