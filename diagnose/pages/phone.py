"""What only phones are told: how one comes in, where one is, and what was not saved."""

from __future__ import annotations

from diagnose.graph.wording import minutes
from diagnose.pages.parts import AnswerPart, Page, Paragraph

NAME = "Find the fault"
WITHOUT = 'this needs a few more packages: pip install "needles-last[serve]"'
JOIN = "Scan the code again"
JOIN_PAGE: Page = (
    Paragraph("Scan the code on the sheet or on the laptop, or type it here."),
    Paragraph("Stay on this Wi-Fi, even if your phone says that it has no internet.", "quiet"),
)
CODE, COME_IN = "The code", "come in"
WRONG_CODE = "That is not the code. Look again: it has eight signs."
TOO_MANY_TRIES = "Too many wrong codes. Wait a minute, and scan the code."
TOO_MANY_FORMS = "That was a lot at once. Your answer was not saved. Wait a minute, and send it again."
SEARCH, SEARCH_FOR = "Or say it in a few words", "search"
ALL_SYMPTOMS = "all symptoms"
YOURS = "Your walks"
NOT_SAVED = "Not saved"
NOT_FOUND = "There is no such page here."
FIRST_PAGE = "the first page"
ANOTHER_PHONE = "Another phone has answered. "
SHOW_IT = "Show where it is now"
WRONG = "Something is wrong"
CLOSE = "close this"
NOT_SURE = "I am not quite sure"
SEND = "send"
MORE = "More"
WHY, WHAT_IF, SO_FAR, CANT = "Why this?", "What if ...?", "So far", "I can't"
HAZARDS, WORDS, SAW, BACK, STOP = "Hazards", "Words", "I saw something", "Take back", "End here"
UNCLEAR = "I don't understand"
TO_STEP = "back to the question"
OWN_STEP = "back to the walk's own question"
STOP_HEADING = "End the walk here?"
STOP_PAGE: Page = (Paragraph("All that you answered is kept. You can go on with it later on this phone."),)
STOP_YES, STOP_NO = AnswerPart("end", "yes, end it here"), "no, go on"
PRINT = "the list to show somebody"
GO_ON_AGAIN = AnswerPart("reopen", "that was a mistake: go on")
TOO_LONG = "This walk has become too long. End it here, and begin a new one."
NEW_QUESTION_FIRST = "Another question comes first. Your answer was not saved."
SAW_ASKED = "Say it in a word or two"
LED, WHOLE = "one thing at a time", "everything at once"
ENGINE, OTHER_ENGINE, TAKE_IT = "Which engine is it?", "it is another engine", "take this engine"
TIME, NO_DEADLINE = "Time", AnswerPart("no deadline", "no deadline")
CARS_UP = "Cars put up here by their owners"
STAY_ON = "stay on this Wi-Fi though it has no internet"
SHEET = "Find the fault with your phone"
SHEET_WIFI, SHEET_JOIN, SHEET_OPEN = "1. Join the Wi-Fi", "2. Open the page", "Open the page"
SHEET_SAFE = "If something goes wrong"
NEW_CODE = "make a new code"
NEW_CODE_SAID = "Those who are in stay in. The old code opens nothing any more, so print the sheet again."
TO_MENTOR = "the class: begin one, or watch it"
PLAIN_HTTP = (
    "Nothing on this Wi-Fi is secret: others on it could read along. Give no real names. "
    "The code ends when the program is stopped."
)


def to_go(left: float, word: str) -> str:
    """Say how many minutes there are, and what is done in the last of them."""
    return f"{minutes(left)} to go: {word}"


def wifi(name: str, password: str) -> str:
    """Say which Wi-Fi it is."""
    return f"{name}, password {password}" if password else f"{name}, no password"


def typed_address(address: str, code: str) -> str:
    """Say what is typed where no camera reads the code."""
    return f"Without a camera: open {address}, and type the code {code}."
