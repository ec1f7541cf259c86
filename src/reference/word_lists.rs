//! The words by which free text is read: lists of `word-lists.csv`, of all languages together.

use crate::reference::table::{File, Sheet, TableError, filled};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;
use strum::VariantArray;

/// A list of words; its row in the table says what it is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, VariantArray)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum List {
    Accepted,
    AccessPointLabel,
    AccessPointNone,
    AccessPointWanted,
    AddressElsewhere,
    AddressKey,
    AddressRefused,
    Answer,
    AttachedWord,
    BandOtherwise,
    BandsEnabled,
    BandsSupported,
    Book,
    CardEvent,
    CardNoun,
    CardOwner,
    CellularInterface,
    Check,
    ColumnCell,
    ColumnState,
    ColumnTime,
    Condition,
    Contract,
    ContractEnded,
    ContractRunsAgain,
    Denial,
    DenialNear,
    DeniedBehind,
    DeviceNoun,
    DriverNoun,
    FirstBranch,
    FlightNoun,
    GoesOn,
    Guess,
    HeadingListing,
    HeadingOther,
    HeadingPast,
    Heard,
    HostRestart,
    KeyCard,
    KeyElsewhere,
    KeyFiller,
    KeyLock,
    KeyModem,
    KeyNetwork,
    KeyRegistration,
    KeySession,
    KeySim,
    KeyState,
    KeyStateFirst,
    LabelOfDoubt,
    Limit,
    LinkNoun,
    LockOwner,
    LogLevel,
    Lost,
    ModemNoun,
    NameHolder,
    NameWanter,
    Negation,
    NetworkCodeLabel,
    NetworkNoun,
    NetworkOwner,
    NetworkUses,
    NetworkWants,
    NotPassed,
    Other,
    OtherAddress,
    OtherAdjective,
    OtherAnswerer,
    OtherCell,
    OtherDeviceKind,
    OtherInterface,
    OtherLink,
    OtherNetworkCode,
    OtherRegistrar,
    Over,
    PacketNoun,
    Passed,
    PastTime,
    PinNoun,
    Plan,
    Question,
    QuestionTag,
    Quotation,
    RadioNoun,
    ReasonFault,
    ReasonSupply,
    Received,
    RefusalStem,
    RegistrationNoun,
    Repetition,
    Restart,
    SecondBranch,
    Sent,
    SessionFiller,
    SessionNoun,
    SessionOwner,
    SeveralBands,
    SmallWord,
    StateSubject,
    Still,
    SupplyEvent,
    SupplyNoun,
    System,
    TechnologiesListed,
    TechnologyKey,
    TechnologyWish,
    TemperatureNoun,
    ThisOne,
    TooHot,
    Trial,
}

/// The words of a list.
pub(crate) fn words_of(list: List) -> &'static [&'static str] {
    &TABLE[list as usize]
}

type Lists = BTreeMap<List, Vec<&'static str>>;

/// By the place of each list in the enumeration.
static TABLE: LazyLock<Vec<Vec<&'static str>>> =
    LazyLock::new(|| FILE.load().into_values().collect());

pub(crate) static FILE: File<Lists> =
    File::new("word-lists.csv", include_str!("../../band-tables/word-lists.csv"), read);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    list: List,
    #[serde(deserialize_with = "filled")]
    language: &'static str,
    #[serde(deserialize_with = "filled")]
    words: &'static str,
    #[serde(deserialize_with = "filled")]
    about: &'static str,
}

fn read(sheet: &Sheet<'_>) -> Result<Lists, TableError> {
    let mut lists = Lists::new();
    sheet.rows(|row: Row, place| {
        if row.about.is_empty() || row.language.len() > 2 {
            return Err(place.error("language", "two letters, or - for words of machines"));
        }
        let words = lists.entry(row.list).or_default();
        for word in row.words.split('|') {
            if word.trim().is_empty() || word.to_lowercase() != word || words.contains(&word) {
                let problem = format!("{word:?} is empty, not in small letters or listed before");
                return Err(place.error("words", problem));
            }
            words.push(word);
        }
        Ok(())
    })?;
    match List::VARIANTS.iter().find(|list| !lists.contains_key(list)) {
        Some(list) => Err(TableError::of_file("word-lists.csv", format!("no row of {list:?}"))),
        None => Ok(lists),
    }
}
