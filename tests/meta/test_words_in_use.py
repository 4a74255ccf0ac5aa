"""Sentences and the code that says them fit each other."""

import ast
import re

import pytest

from lessonkit.airplane.schema import FIELDS
from lessonkit.words import sentences, texts

SAYING = ("say", "say_all")
PLACE = re.compile(r"\{([a-z][a-z0-9_]*)\}")

# Keys that are put together elsewhere, with the reason; groups have to be spelled in the code.
NOT_SPELLED = {
    r".+\.lesson\.(?:title|minutes|objective)": "every lesson has them, the catalogue reads them",
    r".+\.exercise\.(\w+)\.(?:title|prompt|next|solution|source)": "a question's own texts",
    r".+\.exercise\.(\w+)\.(?:hint|option|reply|picture|setting|aspect|why)\.(\w+)": (
        "by the keys of its data"
    ),
}


def all_texts():
    """Every English text by its key."""
    return {key: text for file in sentences.files() for key, text in texts(file).items()}


def names_of(tree):
    """Texts that a module keeps under a name of its own."""
    return {
        node.targets[0].id: node.value.value
        for node in tree.body
        if isinstance(node, ast.Assign)
        and isinstance(node.targets[0], ast.Name)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
    }


def pattern_of(node, names):
    """A regular expression for the keys that this argument can be, or None."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return re.escape(node.value)
    if isinstance(node, ast.Name) and node.id in names:
        return re.escape(names[node.id])
    if isinstance(node, ast.JoinedStr):
        parts = [_part(value, names) for value in node.values]
        # All variables and no word of its own: it would stand for every key there is.
        return "".join(parts) if re.search("[a-z]", "".join(parts)) else None
    if isinstance(node, ast.IfExp):
        sides = [pattern_of(node.body, names), pattern_of(node.orelse, names)]
        return None if None in sides else "(?:" + "|".join(sides) + ")"
    return None


def _part(value, names):
    if isinstance(value, ast.Constant):
        return re.escape(value.value)
    known = names.get(getattr(value.value, "id", None))
    return "(.+)" if known is None else re.escape(known)


def said(modules):
    """Calls of say and say_all from the package: path, line, call, pattern."""
    for path, tree in modules.items():
        names = names_of(tree)
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call) or not node.args:
                continue
            if isinstance(node.func, ast.Name) and node.func.id in SAYING:
                yield path, node.lineno, node, pattern_of(node.args[0], names)


def built(modules):
    """Patterns of the keys that code puts together outside a call of say."""
    files = tuple(file + "." for file in sentences.files())
    for tree in modules.values():
        names = names_of(tree)
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                pattern = pattern_of(node, names)
                if pattern and pattern.replace("\\", "").startswith(files):
                    yield pattern
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                if node.value.endswith(".") and node.value.startswith(files):
                    yield re.escape(node.value) + "(.+)"


def vocabulary(modules, project_files):
    """Every text constant, keyword, field and argument of the package, as a part of a key."""
    found = set()
    for tree in modules.values():
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.add(node.value)
            elif isinstance(node, ast.keyword) and node.arg:
                found.add(node.arg)
            elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
                found.add(node.target.id)
            elif isinstance(node, ast.arg):
                found.add(node.arg)
    for path in project_files:
        if path.suffix == ".js":
            found.update(re.findall(r"[a-z_]+", path.read_text(encoding="utf-8")))
    return found | {re.sub(r"\W+", "_", text) for text in found if len(text) < 60}


@pytest.fixture(scope="session")
def spoken(modules, project_files):
    """What the code can say: all text constants, and the patterns of keys."""
    patterns = [re.compile(pattern) for pattern in (*NOT_SPELLED, *built(modules))]
    for _, _, call, pattern in said(modules):
        if pattern is not None:
            tail = r"\..+" if call.func.id == "say_all" else ""
            patterns.append(re.compile(pattern + tail))
    of_the_card = {key for line in FIELDS for key in (line.label_key, line.help_key)}
    return vocabulary(modules, project_files) | of_the_card, patterns


def test_every_spelled_key_exists(modules):
    keys = all_texts()
    missing = []
    for path, line, call, pattern in said(modules):
        if pattern is None:
            continue
        tail = r"\..+" if call.func.id == "say_all" else ""
        if not any(re.fullmatch(pattern + tail, key) for key in keys):
            missing.append(f"{path}:{line} {pattern}")
    assert not missing


def test_every_sentence_gets_its_values(modules):
    keys = all_texts()
    missing = []
    for path, line, call, _ in said(modules):
        key = call.args[0].value if isinstance(call.args[0], ast.Constant) else None
        given = {keyword.arg for keyword in call.keywords}
        if call.func.id != "say" or key not in keys or None in given:
            continue
        for name in set(PLACE.findall(keys[key])) - given:
            missing.append(f"{path}:{line} {key} needs {name}")
    assert not missing


def is_spelled(part, words):
    """Tell whether the code holds a part of a key, whole, by its end or in two pieces."""
    if part is None or part in words or part.rpartition(".")[2] in words:
        return True
    pieces = part.split("_")
    return any(
        "_".join(pieces[:cut]) in words and "_".join(pieces[cut:]) in words
        for cut in range(1, len(pieces))
    )


def unused(keys, spoken):
    """Keys that nothing can say."""
    words, patterns = spoken
    found = []
    for key in keys:
        matches = [match for pattern in patterns if (match := pattern.fullmatch(key))]
        spelled = (all(is_spelled(part, words) for part in match.groups()) for match in matches)
        if key not in words and not any(spelled):
            found.append(key)
    return found


def test_a_key_that_nothing_says_is_found(spoken):
    never = ["common.number.nobody_says_this", "numbers.reading.nobody_says_this"]
    assert unused(never, spoken) == never


@pytest.mark.parametrize("file", sentences.files())
def test_every_sentence_is_said_somewhere(file, spoken):
    silent = unused(texts(file), spoken)
    assert not silent


JARGON = re.compile(
    r"\b(traceback|exceptions?|kernels?|null|none-?type|boolean|json|stdout|stderr|widgets?|"
    r"callbacks?|backend|front-?end|api|regex|strings?|integers?|tuples?|arrays?|dict|"
    r"parse[rd]?|syntax|valueerror|keyerror|utc offset|stack|runtime|debug|deprecated|iterable|"
    r"invalid|undefined)\b",
    re.IGNORECASE,
)
# The option of the command line carries the name of the format.
ALLOWED = {
    "app.help.json": "JSON",
    "app.help.list_long": "--json",
    "app.help.airplane_long": "--json",
}


@pytest.mark.parametrize("text", ["A kernel died.", "Traceback follows.", "This JSON is invalid."])
def test_jargon_is_found(text):
    assert JARGON.search(text)


@pytest.mark.parametrize("file", sentences.files())
def test_learners_read_plain_words(file):
    found = {
        key: text
        for key, text in texts(file).items()
        if JARGON.search(text.replace(ALLOWED.get(key, "\0"), ""))
    }
    assert not found


@pytest.mark.parametrize("file", sentences.files())
def test_sentences_are_whole(file):
    wrong = {}
    for key, text in texts(file).items():
        several = re.search(r"[a-z)”][.?!] [A-Z]", text) is not None
        if several and not re.search(r"([.?!:…][”)]?|\{\w+\})$", text):
            wrong[key] = "ends without a full stop"
        if re.search(r"\w {2,}\w| [.,;:?!](\s|$)", text) or text != text.rstrip():
            wrong[key] = "spaces too many"
        if not text.strip():
            wrong[key] = "empty"
        if PLACE.sub("", text.replace("{{", "").replace("}}", "")).count("{"):
            wrong[key] = "a brace that is no place for a value"
    assert not wrong


def test_other_languages_have_the_same_places():
    """A translated sentence asks for no value that the English one does not get."""
    for folder in sentences.FOLDER.iterdir():
        if not folder.is_dir() or not re.fullmatch("[a-z]{2}", folder.name):
            continue
        for file in sentences.files(folder.name):
            english = texts(file)
            for key, text in texts(file, folder.name).items():
                assert key in english, f"{folder.name}: {key}"
                assert set(PLACE.findall(text)) <= set(PLACE.findall(english[key])), key
