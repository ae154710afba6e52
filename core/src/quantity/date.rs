//! Dates as papers bear them.

use super::ReadError;

/// The first whole year of the Gregorian calendar: ISO 8601-1:2019, 4.3.2, leaves the years before
/// to agreement (from memory).
const FIRST: u32 = 1583;

/// Reads a calendar date as ISO 8601 writes it in full, `2026-11-28`: four figures of the year, two
/// of the month, two of the day, with hyphens between. Out come year, month and day.
///
/// # Errors
/// Tells what is no such date, and what would be.
///
/// ```
/// use barwright_core::quantity::read_date;
/// assert_eq!(read_date("2024-02-29"), Ok((2024, 2, 29)));
/// assert!(read_date("2023-02-29").is_err());
/// ```
pub fn read_date(text: &str) -> Result<(u32, u32, u32), ReadError> {
    let wrong = |what: String, help: String| Err(ReadError { what, help });
    let form = || "Write year, month and day as 2026-11-28.".to_owned();
    let Some((year, month, day)) = figures(text) else {
        return wrong("This is no date.".to_owned(), form());
    };
    if year < FIRST {
        return wrong(format!("The year {year:04} is before our calendar."), form());
    }
    let Some(days) = days(year, month) else {
        return wrong(format!("There is no month {month:02}."), form());
    };
    if (1..=days).contains(&day) {
        Ok((year, month, day))
    } else {
        wrong(format!("The month {year:04}-{month:02} has no day {day:02}."), format!("Its days are 01 to {days}."))
    }
}

/// Year, month and day by their places.
fn figures(text: &str) -> Option<(u32, u32, u32)> {
    let mut parts = text.split('-');
    let mut next = |figures: usize| {
        let part = parts.next()?;
        let good = part.len() == figures && part.bytes().all(|byte| byte.is_ascii_digit());
        good.then(|| part.parse().ok()).flatten()
    };
    let date = (next(4)?, next(2)?, next(2)?);
    parts.next().is_none().then_some(date)
}

/// How many days a month has; nothing for no month. A year has a leap day where four divides it,
/// but not where only a hundred does and not four hundred.
const fn days(year: u32, month: u32) -> Option<u32> {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => Some(31),
        4 | 6 | 9 | 11 => Some(30),
        2 if leap => Some(29),
        2 => Some(28),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The day's number in the count of days that astronomers keep, and back: H. F. Fliegel and
    /// T. C. Van Flandern, A Machine Algorithm for Processing Calendar Dates, Communications of the
    /// ACM 11 (1968), page 657 (from memory). A date that is none comes back as another.
    fn there_and_back((year, month, day): (i64, i64, i64)) -> (i64, i64, i64) {
        let early = (month - 14) / 12;
        let count = 1461 * (year + 4800 + early) / 4 + 367 * (month - 2 - 12 * early) / 12
            - 3 * ((year + 4900 + early) / 100) / 4
            + day
            - 32075;
        let rest = count + 68569;
        let centuries = 4 * rest / 146_097;
        let rest = rest - (146_097 * centuries + 3) / 4;
        let years = 4000 * (rest + 1) / 1_461_001;
        let rest = rest - 1461 * years / 4 + 31;
        let months = 80 * rest / 2447;
        let late = months / 11;
        (100 * (centuries - 49) + years + late, months + 2 - 12 * late, rest - 2447 * months / 80)
    }

    #[test]
    fn the_days_of_the_calendar() {
        let mut count = 0;
        for year in 1600..2000_u32 {
            for (month, day) in (0..=13_u32).flat_map(|month| (0..=32_u32).map(move |day| (month, day))) {
                let read = read_date(&format!("{year:04}-{month:02}-{day:02}"));
                let date = (i64::from(year), i64::from(month), i64::from(day));
                let known = (1..=12).contains(&month) && there_and_back(date) == date;
                assert_eq!(read.is_ok(), known, "{date:?}: {read:?}");
                count += usize::from(read.is_ok());
            }
        }
        // Four centuries are 146 097 days: 303 years of 365 and 97 of 366.
        assert_eq!(count, 146_097, "days in four centuries");
    }

    /// The centuries that the calendar's own rule names: 2000 stays a leap year, 1700, 1800 and 1900 do
    /// not (the bull Inter gravissimas of 1582, from memory).
    #[test]
    fn leap_days() {
        for (text, good) in [
            ("2000-02-29", true),
            ("1600-02-29", true),
            ("1700-02-29", false),
            ("1800-02-29", false),
            ("1900-02-29", false),
            ("2100-02-29", false),
            ("2024-02-29", true),
            ("2026-02-29", false),
            ("2026-12-31", true),
            ("2026-11-31", false),
            ("9999-12-31", true),
            ("1583-01-01", true),
            ("1582-12-31", false),
        ] {
            assert_eq!(read_date(text).is_ok(), good, "{text}");
        }
    }

    #[test]
    fn what_is_no_date() {
        for text in [
            "",
            "today",
            "28.11.2026",
            "11/28/2026",
            "2026-11",
            "2026-11-28-",
            "2026-11-28 ",
            " 2026-11-28",
            "20261128",
            "26-11-28",
            "2026-1-8",
            "-026-11-28",
            "+2026-11-28",
            "2026-11-28T12:00",
            "２０２６-11-28",
            "2026–11–28",
            "2026-00-10",
            "2026-13-10",
            "2026-10-00",
        ] {
            let error = read_date(text).expect_err(text);
            assert!(!error.what.is_empty() && !error.help.is_empty(), "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_a_date_or_none(text in "[0-9-]{8,12}") {
            if let Ok((year, month, day)) = read_date(&text) {
                proptest::prop_assert_eq!(format!("{year:04}-{month:02}-{day:02}"), text);
            }
        }
    }
}
