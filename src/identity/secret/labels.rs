//! The words that announce a secret, in the languages in which customers write (common practice, no source).

/// What a word announces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Announces {
    /// A password or a key.
    Password,
    /// A user name.
    User,
    /// A password, where no sentence begins with the word or goes on behind it.
    MaybePassword,
    /// The same of a user name.
    MaybeUser,
    /// The number of a PIN or PUK.
    Pin,
    /// A phone number.
    Phone,
}

/// The labels in small letters; a blank in one is a blank, a dash, an underscore, or nothing.
const LABELS: &[(Announces, &[&str])] = &[
    (
        Announces::Password,
        &[
            "password",
            "passwd",
            "pass phrase",
            "pass code",
            "pwd",
            "psk",
            "pre shared key",
            "wifi key",
            "wi fi key",
            "wlan key",
            "network key",
            "api key",
            "access key",
            "secret key",
            "private key",
            "client secret",
            "shared secret",
            "access token",
            "auth token",
            "passwort",
            "kennwort",
            "mot de passe",
            "mdp",
            "contraseña",
            "contrasena",
            "senha",
            "palavra passe",
            "parola d'ordine",
            "wachtwoord",
            "lösenord",
            "hasło",
            "haslo",
            "heslo",
            "пароль",
            "Пароль",
            "密码",
        ],
    ),
    (
        Announces::User,
        &[
            "user name",
            "user id",
            "login name",
            "benutzer name",
            "nom d'utilisateur",
            "identifiant",
            "nombre de usuario",
            "nome utente",
            "nome de usuário",
            "gebruikers naam",
            "användarnamn",
            "nazwa użytkownika",
            "имя пользователя",
            "用户名",
        ],
    ),
    (Announces::MaybePassword, &["pass", "pw", "secret", "token", "clave", "parola"]),
    (
        Announces::MaybeUser,
        &[
            "user",
            "usr",
            "login",
            "benutzer",
            "utilisateur",
            "usuario",
            "usuário",
            "utente",
            "gebruiker",
        ],
    ),
    (Announces::Pin, &["pin", "puk"]),
    (
        Announces::Phone,
        &[
            "phone",
            "tel",
            "telephone",
            "msisdn",
            "mobile number",
            "cell phone",
            "call me on",
            "call me at",
            "reach me on",
            "reach me at",
            "my number",
            "fax",
            "whatsapp",
            "telefon",
            "ruf nummer",
            "telefon nummer",
            "handy",
            "handy nummer",
            "mobil",
            "mobil nummer",
            "téléphone",
            "portable",
            "teléfono",
            "telefono",
            "telefone",
            "móvil",
            "celular",
            "cellulare",
            "telefoon",
            "телефон",
        ],
    ),
];

/// The longest label that a text begins with, what it announces and where it ends. `lower` has small letters.
pub(super) fn label(lower: &str) -> Option<(Announces, usize)> {
    let first = lower.as_bytes().first()?;
    let all = LABELS.iter().flat_map(|(what, names)| names.iter().map(move |name| (*what, *name)));
    all.filter(|(_, name)| name.as_bytes()[0] == *first)
        .filter_map(|(what, name)| Some((what, end(lower, name)?)))
        .max_by_key(|(_, end)| *end)
}

/// Where a label ends that a text begins with; one of several may have a number: `PIN1`, `password 2` is none.
fn end(lower: &str, name: &str) -> Option<usize> {
    let mut rest = lower;
    for (n, part) in name.split(' ').enumerate() {
        rest = if n == 0 { rest } else { rest.strip_prefix([' ', '-', '_']).unwrap_or(rest) };
        rest = rest.strip_prefix(part)?;
    }
    let numbered = rest.strip_prefix(|c: char| c.is_ascii_digit()).unwrap_or(rest);
    let whole = |rest: &str| !rest.starts_with(|c: char| c.is_alphanumeric() || c == '_');
    [rest, numbered].into_iter().find(|rest| whole(rest)).map(|rest| lower.len() - rest.len())
}

/// Whether a label may begin at a character: at the start of a word, at a hump of a name such as `wifiPassword`, or
/// where a script has no blanks.
pub(super) fn begins(before: Option<char>, c: char) -> bool {
    let hump = c.is_ascii_uppercase() && before.is_some_and(|b| b.is_ascii_lowercase());
    c.is_alphabetic() && (!before.is_some_and(char::is_alphanumeric) || hump || c > '\u{2e80}')
}
