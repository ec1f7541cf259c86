//! The table of status words against the table of causes, and what its reader refuses.

use super::*;
use crate::reference::causes;

#[test]
fn case_and_signs_between_words_do_not_count() {
    for text in ["EMM-DEREGISTERED.PLMN-SEARCH", "emm_deregistered_plmn_search"] {
        let states: Vec<_> = spelled(&key(text)).map(|word| word.state).collect();
        assert_eq!(states, [State::Registration(RegistrationState::Searching)], "{text}");
    }
}

#[test]
fn a_short_word_counts_behind_its_key() {
    let word = behind("Registration State", "registered").next().unwrap();
    assert!(matches!(word.state, State::Registration(_)));
    assert_eq!(behind("no such key", "registered").count(), 0);
}

#[test]
fn names_of_causes_are_those_of_the_table_of_causes() {
    for word in all().iter().filter(|word| word.list.starts_with("cause-")) {
        let State::Cause(list, number) = word.state else { panic!("{}", word.phrase) };
        assert_eq!(word.list, format!("cause-{}", list.word()));
        let cause = causes::assigned(list, number).unwrap_or_else(|| panic!("{}", word.phrase));
        assert_eq!(key(word.phrase), key(cause.name), "{} {number}", list.word());
    }
}

#[test]
fn a_phrase_that_counts_everywhere_has_three_letters_or_more() {
    for word in all().iter().filter(|word| word.place == Where::Anywhere) {
        for form in word.forms() {
            assert!(key(form).len() >= 3, "{form:?} of {}", word.list);
        }
    }
}

#[test]
fn a_row_with_a_state_of_another_subject_is_refused() {
    let text = "list,phrase,spellings,subject,state,strength,where,value,keys,number,source\n\
                x,a phrase,,card,attached,states,,,,,x\n";
    let error = read(&Sheet::new("words.csv", text)).unwrap_err().to_string();
    assert_eq!(error, "words.csv, line 2, key `state`: \"attached\" is no state of Card");
}

#[test]
fn a_spelling_stands_once_in_a_row_and_has_one_state_in_a_list() {
    for word in all() {
        for form in word.forms() {
            assert!(!key(form).is_empty(), "{form:?}");
            assert_eq!(word.forms().filter(|o| key(o) == key(form)).count(), 1, "{form:?}");
            for other in spelled(&key(form)).filter(|other| other.list == word.list) {
                assert_eq!(other.state, word.state, "{form:?} in {}", word.list);
            }
        }
    }
}

#[test]
fn every_row_names_a_source_and_every_source_has_a_row() {
    for word in all() {
        assert!(word.source().is_some(), "{} of {}", word.phrase, word.list);
    }
    for source in SOURCES.keys() {
        assert!(all().iter().any(|word| word.source == *source), "{source}");
    }
}
