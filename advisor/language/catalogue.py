"""Every kind of problem: its stable code, its sentence, its cure and its page.

Codes are never reused: S the shape of the text, V values, N names, T types and units, R rules, F files and limits,
C cars and cases, M files of comparables, A advice, L what is parsed and checked but not computed yet. The pages are
printed by `advisor check --explain CODE` and stand in `grammar/README.md`; a test keeps the two alike.
"""

from __future__ import annotations

from advisor.language.problems import Kind, Severity

__all__ = ["KINDS"]

_A, _L = Severity.ADVICE, Severity.LATER

# ---- S: the shape of the text ----------------------------------------------------------------------------------

NOT_A_BLOCK = Kind(
    "S01", "a line that begins no block", "`{found}` begins no block", "{cure}",
    "A line without a blank before it begins a block, and its first word says which: `ask`, `fault`, `let`, `require` "
    "and so on. Lines that belong to a block are indented by four blanks.",
)  # fmt: skip
NOT_A_LINE = Kind(
    "S02", "a line that does not belong to its block", "`{found}` begins no line of this `{block}`", "{cure}",
    "Each kind of block has its own lines: an `ask` has `how`, `why`, `takes` and others, a `require` has `because`. "
    "The reference lists them for each block.",
)  # fmt: skip
UNEXPECTED = Kind(
    "S03", "a word or sign in the wrong place", "`{found}` does not fit here; {wanted} could stand here", "{cure}",
    "The block could be read up to this word and not beyond it. Often a word before it is missing, doubled or in the "
    "wrong order.",
)  # fmt: skip
LINE_UNFINISHED = Kind(
    "S04", "a line that stops too early", "something is missing after this; {wanted} could follow", "{cure}",
    "The line, or the whole block, ends before it says everything it has to. A line goes on where it ends in an "
    "operator or a comma, inside brackets, or where the next line begins with an operator.",
)  # fmt: skip
ODD_CHARACTER = Kind(
    "S05", "a character that means nothing", "`{found}` means nothing here", "{cure}",
    "Telltale uses letters, digits, `_`, quotes, round brackets and the signs `+ - * / = : , .. >= <= > <`. Everything "
    "else belongs in a text in quotes or behind a `#`.",
)  # fmt: skip
TEXT_NEVER_CLOSED = Kind(
    "S06", "a text that is never closed", "this text is never closed", 'put a `"` at its end, on the same line',
    'A text begins and ends with `"` on one line.',
)  # fmt: skip
LOOK_ALIKE = Kind(
    "S07", "a sign that only looks right", "`{found}` is a typographic sign, not the one meant", "{cure}",
    "Word processors and telephones turn quotes, dashes and comparison signs into prettier ones. Rules need the plain "
    "signs of the keyboard.",
)  # fmt: skip
RESERVED_WORD = Kind(
    "S08", "a word of the language used as a name", "`{found}` is a word of the language and cannot be a name",
    "choose another name, such as `{found}_1`",
    "Words such as `when`, `is`, `of` or `otherwise` mean something in the middle of a line, and `offer`, `ceiling`, "
    "`today` and the verdicts always mean the same. None of them can be defined anew.",
)  # fmt: skip
MIXED_AND_OR = Kind(
    "S09", "`and` beside `or` without brackets", "`and` and `or` stand beside each other",
    "put brackets around the part that belongs together",
    "`a and b or c` can be read in two ways. Write `(a and b) or c`, or `a and (b or c)`.",
)  # fmt: skip
SHARE_NEEDS_BRACKETS = Kind(
    "S10", "`of` beside a sum without brackets", "`{text}` stands beside `+` or `-` without brackets",
    "write `({text})`",
    "`70% of resale - recon` can be read in two ways. Write `(70% of resale) - recon`, or `70% of (resale - recon)`.",
)  # fmt: skip
SAID_TWICE = Kind(
    "S11", "something said twice", "`{what}` is said twice", "keep one of the two",
    "A block has at most one line of each kind, a choice lists each word once, a table has one entry for each key.",
)  # fmt: skip
ODD_SOURCE = Kind(
    "S12", "a source of no known kind", "this is no kind of source",
    'write `source "..."`, `source common practice`, `source house figure` or `source from memory "..."`',
    "A source says how far a figure can be trusted: a publication in quotes, common practice of the trade, a figure of "
    "one's own house, or something recalled and not looked up.",
)  # fmt: skip

# ---- V: values ---------------------------------------------------------------------------------------------------

NOT_A_VALUE = Kind(
    "V01", "not a value", "`{text}` is not {wanted}", "write it as {wanted}",
    "Values are numbers (`1,250`, `3/32`, `5 1/2`), amounts (`$1,250.50`), percentages (`30%`), quantities (`4/32 in`, "
    "`$45/h`), dates (`2026-04-11`), `yes`, `no` and the words of a choice.",
)  # fmt: skip
BAD_THOUSANDS = Kind(
    "V02", "a comma in the wrong place", "`{text}` is not grouped in thousands", "write `{guess}`",
    "A comma in a number groups thousands: `1,250`, `12,500`. The decimal sign is a point: `0.96`. Between two "
    "arguments or readings stand a comma and a blank: `(100, 200)`.",
)  # fmt: skip
UNKNOWN_UNIT = Kind(
    "V03", "a unit nobody knows", "`{unit}` is no unit", "{cure}",
    "Units are h and min for labor; day, week, month and year for the calendar; mi, km, in, mm, mil, um; psi, "
    "kPa, bar; "
    "V; degF, degC; l, gal; and rates of them such as `$/h`, `mi/year`, `h/week`.",
)  # fmt: skip
UNKNOWN_MONTH = Kind(
    "V04", "not a month", "`{text}` is no month", "{cure}",
    "Months are written Jan, Feb, Mar, Apr, May, Jun, Jul, Aug, Sep, Oct, Nov, Dec.",
)  # fmt: skip
NO_SUCH_DAY = Kind(
    "V05", "a day that does not exist", "there is no day `{text}`", "check the month and the day",
    "Dates are written year-month-day, `2026-04-11`; days of any year `Apr 11`. February 29 exists in leap years only.",
)  # fmt: skip
NOT_A_CHOICE = Kind(
    "V06", "not one of the choices", "`{text}` is not one of the answers to `{name}`", "{cure}",
    "A question of the kind `one of ...` has exactly the answers it lists; a yes/no question has `yes` and `no`.",
)  # fmt: skip
MISSING_UNIT = Kind(
    "V07", "a number without its unit", "`{name}` is {wanted}; `{text}` has no unit", "write `{guess}`",
    "A number that measures something carries its unit, always: `200,000 mi`, `$45/h`, `30%`. Plain numbers are for "
    "counts and factors.",
)  # fmt: skip
WRONG_DIMENSION = Kind(
    "V08", "a value of the wrong kind", "`{name}` is {wanted}; `{text}` is {found}", "{cure}",
    "Units of one kind convert into each other, miles into kilometers and hours into minutes. Money is no length, and "
    "labor is no calendar time.",
)  # fmt: skip
ESTIMATE_PARTS = Kind(
    "V09", "an estimate without three parts", "an estimate of `{name}` has three parts",
    "write low, likely and high: `$150 .. $300 .. $900`",
    "An estimate gives the lowest and the highest value one would believe, and between them the likeliest one.",
)  # fmt: skip
ESTIMATE_ORDER = Kind(
    "V10",
    "an estimate out of order",
    "low, likely and high are not in order",
    "put the lowest first and the highest last",
    "An estimate is written `low .. likely .. high`; two of them may be equal.",
)  # fmt: skip
READINGS_COUNT = Kind(
    "V11", "too few or too many readings", "`{name}` has {fewest} to {most} readings; here are {count}",
    "give one reading for each, with a comma and a blank between",
    "A question of the kind `1 to 12 of psi` takes a list: `150 psi, 148 psi, 152 psi`.",
)  # fmt: skip
BAD_CODE = Kind(
    "V12", "a code of the wrong length", "`{name}` takes {length} letters and digits",
    "copy it again, letter by letter",
    "A code is letters and digits without blanks, such as a VIN or a tire's date code.",
)  # fmt: skip
OUTSIDE_RANGE = Kind(
    "V13", "a value outside its range", "`{text}` is outside the range of `{name}`",
    "check the value, or widen the range of the question, which is {low} to {high}",
    "Every question of a number says from where to where it can be. That catches slips of the finger, and it is "
    "what the "
    "rules are proved over.",
)  # fmt: skip
OUTSIDE_SETTING = Kind(
    "V18", "a setting outside its range", "`{text}` is outside the range of the setting `{name}`, {low} to {high}",
    "{cure}",
    "A setting may say between which values it is believed, so that a slip of the finger is not. Whoever means it "
    "gives the range anew: `set purchase_tax = 25% from 0% to 30%`.",
)  # fmt: skip
OTHER_CURRENCY = Kind(
    "V14", "another currency", "`{found}` is not the currency of these rules, which is `{wanted}`",
    "convert the amount, or name the other currency under `ruleset`",
    "All money of a ruleset is of one currency, named by `currency` under `ruleset`; without it, dollars. Amounts of "
    "used files in another one are converted by a `rate`.",
)  # fmt: skip
BAD_RATE = Kind(
    "V19", "a rate that cannot be used", "`{text}` is no use here: {why}", "{cure}",
    "`rate $1 = £0.80` says under `ruleset` what the amounts of used files come to in the currency of this one. Parts "
    "and outside work may have rates of their own: `rate $1 of parts = £1.00`, `rate $1 of shop = £0.70`.",
)  # fmt: skip
NO_ESTIMATE_HERE = Kind(
    "V15",
    "an estimate where something is read off",
    "`{name}` is read off, not estimated",
    "give one value, or `unsure`",
    "Money, labor and calendar time may be answered by an estimate. A tread depth or a pressure is what it is, or one "
    "could not tell.",
)  # fmt: skip
SIGN_BEHIND = Kind(
    "V16", "a minus behind the currency sign", "in `{text}` the minus sign stands in the wrong place",
    "write `{guess}`",
    "A minus sign stands before everything else: `-$5`.",
)  # fmt: skip
TWO_WAYS = Kind(
    "V17", "a number that can be read in two ways", "`{text}` can be read in two ways", "write `{many}`, or `{few}`",
    "Elsewhere a point groups thousands, so that `150.000 mi` may be meant as 150,000 mi. With exactly three zeros "
    "behind the point, miles, kilometers and money are not guessed.",
)  # fmt: skip

# ---- N: names ----------------------------------------------------------------------------------------------------

UNKNOWN_NAME = Kind(
    "N01", "a name nobody defined", "`{name}` is not defined{again}", "{cure}",
    "Every name is a question (`ask`), a `setting`, a `let`, a `fault`, a `season`, a `table` or a rule, in "
    "this file or "
    "in one it uses. Each unknown name is told once, where it is first used.",
)  # fmt: skip
DEFINED_TWICE = Kind(
    "N02",
    "a name defined twice",
    "`{name}` is defined twice",
    "rename one of them, or drop the used one by `without {name}`",
    "A name means one thing in a whole ruleset, used files included.",
)  # fmt: skip
CYCLE = Kind(
    "N03", "a circle of definitions", "this depends on itself: {path}", "take one of the steps out",
    "Each definition must be computable from others before it. Gates of questions, faults and sums may not run in a "
    "circle.",
)  # fmt: skip
NOT_A_SETTING = Kind(
    "N04", "not a setting of a used file", "`{name}` is no setting of a used file", "{cure}",
    "`set name = value` changes a setting that a used file declares. In its own file, change the `setting` itself.",
)  # fmt: skip
NOTHING_TO_DROP = Kind(
    "N05", "nothing to drop", "`{name}` is nothing that a used file declares", "{cure}",
    "`without name` takes out a question, fault, rule, sum or the `verdict` of a used file; `keep name` takes out all "
    "but what it names and what that needs.",
)  # fmt: skip
WRONG_KIND_OF_NAME = Kind(
    "N06", "a name of another kind", "`{name}` is a {kind} and cannot stand here", "use a name of the kind that fits",
    "Questions, settings, sums and faults have values. A season is asked about with `is in`, a table is looked up like "
    "`factor(today)`, rules and cars have no value.",
)  # fmt: skip
UNKNOWN_FUNCTION = Kind(
    "N07", "a function nobody knows", "there is no function `{name}`", "{cure}",
    "The functions are listed in the reference. The smaller and the larger of several are `smaller of (a, b)` and "
    "`larger of (a, b)`, because `min` means minutes.",
)  # fmt: skip
UNKNOWN_TYPE = Kind(
    "N08", "a kind of answer nobody knows", "`{text}` is no kind of answer", "{cure}",
    "Answers are `yes/no`, `one of a, b`, `number`, `count`, `percent`, `money` or a unit with `from .. to ..`, "
    "`date`, "
    "`text`, `code of 5 to 17`, or a list such as `1 to 12 of psi`.",
)  # fmt: skip
NEEDED = Kind(
    "N09", "something the judging needs", "these rules judge a price, and need `{name}` as money", "write `{line}`",
    "To find the highest price, the judging needs the question `asking`, the setting `highest_offer` and, where "
    "repairs "
    "may be done or left, the quantity `profit`.",
)  # fmt: skip
UNUSABLE_SETTING = Kind(
    "N13", "a setting that cannot be used", "`{name}` must be {wanted}", "write for example `{line}`",
    "Chances are the shares of outcomes that are drawn. `draws` says how many, `seed` which, and `misjudgment` how far "
    "a whole job goes wrong: parts, shop work and labor of one car together. `shop_rate` is what a shop takes for an "
    "hour; quotes that no fault names are reckoned by it.",
)  # fmt: skip
CAR_NEEDS_NAME = Kind(
    "N10", "a car without a name", "a car in a ruleset needs a name", "write `car sound_car`, without quotes",
    "Cases start from a car by its name: `case \"...\" like sound_car`. A title in quotes is for a `.car` file.",
)  # fmt: skip
UNKNOWN_CURRENCY = Kind(
    "N11", "a currency nobody knows", "`{text}` is no currency known here", "use one of {known}",
    "A ruleset names its currency by its three letters, such as USD or GBP.",
)  # fmt: skip
UNKNOWN_VERDICT = Kind(
    "N12", "not a verdict", "`{text}` is no verdict", "{cure}",
    "The verdicts about a price are `buy`, `renegotiate` and `pass`; a ladder may have words of its own, each with a "
    "text that says what to do. A case may also expect `unsettled`.",
)  # fmt: skip
MIXED_VERDICTS = Kind(
    "N14", "two kinds of verdicts in one ladder", "`{text}` does not go with the other verdicts of this ladder",
    "use `buy`, `renegotiate` and `pass` without a text, or words of your own, each with a text",
    "A ladder is about a price, or it gives advice in words of its own; then each line ends with a text.",
)  # fmt: skip

# ---- T: types and units ------------------------------------------------------------------------------------------

MIXED_DIMENSIONS = Kind(
    "T01", "two dimensions that do not go together",
    "`{left}` is {left_is}, `{right}` is {right_is}; they cannot {verb}", "bring both to one dimension",
    "Only quantities of one dimension can be added or compared. Multiplying and dividing make new ones: money per hour "
    "times hours is money.",
)  # fmt: skip
LABOR_AND_CALENDAR = Kind(
    "T02", "labor against calendar time", "`{labor}` is labor, `{calendar}` is calendar time; they cannot {verb}",
    "divide the hours by the hours per week: `{labor} / hours_per_week`",
    "Ten hours of work are not ten hours of the calendar: at 8 h/week they are nine days. Labor counts in h and "
    "min, the "
    "calendar in days, weeks, months and years; hours divided by hours per week are calendar time.",
)  # fmt: skip
MONTHS_AND_DAYS = Kind(
    "T03",
    "months against days",
    "a month has no fixed number of days",
    "give both in days, or both in months or years",
    "A month converts to years only. A date plus months moves by the calendar: `today + 2 months`.",
)  # fmt: skip
NOT_YES_NO = Kind(
    "T04",
    "not yes or no",
    "`{text}` is {found}, where yes or no is needed",
    "compare it with something, such as `>= ...` or `is ...`",
    "Conditions are comparisons, yes/no questions, faults, and what `and`, `or` and `not` make of them.",
)  # fmt: skip
NOT_A_NUMBER = Kind(
    "T05", "not a number", "`{text}` is {found}, where a number or quantity is needed",
    "use a quantity here, or make it one by a `table` or a `let` with branches",
    "Sums are made of numbers, money and quantities. A choice becomes a number by a `table` or by branches of a `let`.",
)  # fmt: skip
CANNOT_COMPARE = Kind(
    "T06",
    "a comparison that means nothing",
    "`{text}` is {found} and has no order",
    "compare numbers, quantities or dates; for choices use `is`",
    "`>=` and its kin order numbers, quantities and dates. Choices are compared by `is` and `is one of`; codes "
    "and text "
    "not at all.",
)  # fmt: skip
ARGUMENTS = Kind(
    "T07", "the wrong arguments", "`{function}` cannot take this", "{wanted}",
    "Each function says in the reference what it takes.",
)  # fmt: skip
NOT_AN_OPTION = Kind(
    "T20", "not a word that a function takes", "`{text}` is no word that `{function}` takes", "{cure}",
    "Some functions take a word, such as `us` or `uk` for `tread_limit`; each says in the reference which.",
)  # fmt: skip
NO_CHOOSING = Kind(
    "T21", "a list or a code in branches", "`{text}` is {found}, which branches cannot choose between",
    "choose between what you take from it, such as `lowest(...)`",
    "Branches give numbers, dates, choices and yes or no. Readings and codes are looked at as they were given.",
)  # fmt: skip
BRANCHES_DISAGREE = Kind(
    "T08",
    "branches of different kinds",
    "`{text}` is {found}, but `{first}` is {first_is}",
    "give every branch the same kind of value",
    "All branches of a `let` give one kind of value, with one dimension.",
)  # fmt: skip
TEMPERATURE_SUM = Kind(
    "T09", "a sum of temperatures", "temperatures are readings and cannot be added or multiplied",
    "compare them, or ask for the difference itself",
    "degF and degC count from different zeros, so that a sum of two readings means nothing. They can be compared.",
)  # fmt: skip
ONE_ARGUMENT = Kind(
    "T10", "the smaller of one", "`{which} of` needs two or more; this is one: `{args}`",
    "put a comma and a blank between them: `{which} of (100, 200)`",
    "A comma inside a number groups thousands, so `(100,200)` is one number.",
)  # fmt: skip
NOT_A_DATE = Kind(
    "T11",
    "not a date",
    "`{text}` is {found}, where a date is needed",
    "give it a date, such as `today` or a question of the kind `date`",
    "Seasons and tables by month are looked up by a date.",
)  # fmt: skip
DATE_SUM = Kind(
    "T12",
    "a sum with a date",
    "only calendar time can be added to a date",
    "write `today + 30 days`, or the difference of two dates",
    "A date plus or minus calendar time is a date; a date minus a date is days.",
)  # fmt: skip
MONTH_DAY_HERE = Kind(
    "T13",
    "a day of the year in a sum",
    "`{text}` is a day of any year and cannot be computed with",
    "use a `season`, and `is in` or `days_to_open`",
    "Days of the year stand in the windows of a season, in a setting, and in `next_day(Apr 1, today)`, the next "
    "such day.",
)  # fmt: skip
NOT_A_DAY_OF_YEAR = Kind(
    "T18", "not a day of the year", "`{text}` is {found}, where a day of the year is needed",
    "give it a day such as `Apr 1`, or a setting of that kind",
    "`next_day(Apr 1, today)` is the next April 1; the day may also be a setting, `setting list_by = Apr 1`.",
)  # fmt: skip
NOT_A_SUBJECT = Kind(
    "T19", "a question that comparables cannot use", "`{name}` is {found}, where {wanted} is needed",
    "name another question",
    "`comparables for` names a question about money, `year` one about a number, `miles` one about a length.",
)  # fmt: skip
NO_RANGE_HERE = Kind(
    "T14", "a range where there is none", "{found} has no range", "leave out `from` and `to`",
    "Only numbers, quantities and dates have a range.",
)  # fmt: skip
RANGE_ORDER = Kind(
    "T15", "a range out of order", "the range begins above its end", "put the smaller value first",
    "A range is written `from` the lowest `to` the highest value.",
)  # fmt: skip
READINGS_RANGE = Kind(
    "T16",
    "a count of readings out of order",
    "a list has between 1 and 100 readings, the fewer first",
    "write for example `1 to 12 of psi`",
    "A list says how few and how many readings it may have.",
)  # fmt: skip
TOO_BIG = Kind(
    "T17", "a quantity that outgrows all bounds", "`{text}` can grow beyond anything that can be computed",
    "multiply fewer times, or narrow the ranges of the questions in it",
    "Quantities are computed exactly, with 34 digits; a product that can pass a 1 with thirty zeros is refused.",
)  # fmt: skip

# ---- R: rules ------------------------------------------------------------------------------------------------------

ALWAYS = Kind(
    "R01", "a comparison that can go one way only", "`{text}` is always {way}: `{name}` is from {low} to {high}",
    "check the number, or the range of the question",
    "The question's own range makes the comparison the same for every car, so the rule says nothing.",
)  # fmt: skip
NEVER_HOLDS = Kind(
    "R02",
    "conditions that clash",
    "`{first}` and `{second}` can never hold together",
    "change one of them, or use `or`",
    "Two conditions on the same question shut each other out, so that the whole can never hold.",
)  # fmt: skip
GAP = Kind(
    "R03",
    "a gap between branches",
    "{what} matches no branch of `{name}`",
    "{cure}",
    "Branches without `otherwise` must cover every value. `< 3 mm` and `> 3 mm` leave out exactly 3 mm.",
)  # fmt: skip
NO_OTHERWISE = Kind(
    "R04", "no last branch", "`{name}` has no value where none of its conditions holds",
    "end with a last branch, such as `{last} otherwise`",
    "Branches are tried from top to bottom; the last one, `otherwise`, catches the rest.",
)  # fmt: skip
AFTER_OTHERWISE = Kind(
    "R05", "a branch after the last", "nothing can come after `otherwise`", "move `otherwise` to the end",
    "`otherwise` always holds, so that a branch below it is never reached.",
)  # fmt: skip
GETS_EASIER = Kind(
    "R06", "a rule that gets easier as the offer rises", "`{name}` gets easier to meet as the offer rises",
    "turn the comparison round, or make it a `caution`",
    "The highest offer is searched under the assumption that paying more never helps. A `require` that a higher price "
    "makes true would break that.",
)  # fmt: skip
NOT_PROVED_HARDER = Kind(
    "R07", "a rule that cannot be ordered", "it cannot be proved that `{name}` never gets easier as the offer rises",
    "make the sign of `{part}` certain, for example with `larger of ($0, ...)`",
    "The proof goes by the signs of the parts, with the repair plan held fixed. A factor that may be negative, or a "
    "condition that looks at the offer, stops it.",
)  # fmt: skip
DIVISOR_MAY_BE_NEGATIVE = Kind(
    "R08", "a divisor that may be negative", "`{divisor}` may be negative, and is divided by",
    "narrow its range, or write `larger of (..., ...)` around it",
    "`a / b >= c` is decided as `a >= c * b`, which is the same only if b is not negative.",
)  # fmt: skip
MAY_LACK_VALUE = Kind(
    "R09", "a part that may have no value", "`{text}` has no value when {when}",
    "{cure}",
    "A quotient may be compared directly, or shown, even if its divisor can be zero: no hours ask for no loss. So may "
    "a yearly rate, which not all payments have. Inside a larger sum everything must always have a value.",
)  # fmt: skip
DIVISOR_IS_ZERO = Kind(
    "R10", "a division by zero", "this divides by zero", "check the number", "Nothing can be divided by zero.",
)  # fmt: skip
PRICE_HERE = Kind(
    "R11", "the price where it must not matter", "{what} may not look at the price, and `{name}` does",
    "{cure}",
    "Deal-breakers, cautions, faults and gates of questions hold whatever the price is; they depend neither on the "
    "offer nor on the repair plan nor on the ceiling.",
)  # fmt: skip
END_NOT_PROVED = Kind(
    "R12", "an end that cannot be proved",
    "it cannot be proved which end of the estimates makes `{text}` {function}est",
    "make the sign of `{part}` certain, or leave it out",
    "`low(x)` sets every estimate to the end that lowers x. A factor that may be negative, or a condition that "
    "stands on "
    "an estimate, leaves that open.",
)  # fmt: skip
NO_QUESTION = Kind(
    "R13",
    "a question without its words",
    "`{name}` has no question",
    'add a line with the question in quotes, such as "How deep is the tread?"',
    "An `ask` holds the words in which it is asked.",
)  # fmt: skip
SHARES_SUM = Kind(
    "R14", "shares that are no whole", "these shares add up to {total}", "make them 100% together",
    "`usually` says how often each answer comes; together the answers are all cars.",
)  # fmt: skip
ODD_USUALLY = Kind(
    "R15", "a hint that does not fit its question", "the answers to `{name}` cannot come out like this", "{cure}",
    "`usually` lists the answers of a yes/no question or a choice with their shares, and gives low, likely and high of "
    "a number: `usually 2/32 in .. 6/32 in .. 10/32 in`. Dates, codes and texts have none.",
)  # fmt: skip
NO_FINE_HERE = Kind(
    "R32", "a fine answer where nothing is chosen", "`{name}` has no answer that is `fine` by itself",
    "take it out: `fine` is for yes/no and choices",
    "`fine` names the answer of a yes/no question or a choice that means that all is as it should be. In a walk `ok` "
    "stands for it. Numbers, dates, codes and texts have to be read off.",
)  # fmt: skip
TABLE_GAP = Kind(
    "R16", "a table with a gap", "`{name}` has no entry for {missing}", "add what is missing",
    "A table has a value for each month, or for each answer of its question.",
)  # fmt: skip
TABLE_BY = Kind(
    "R17",
    "a table by nothing known",
    "a table goes by `month` or by a choice; `{text}` is neither",
    "name a question of the kind `one of ...`",
    "`table factor by month` is looked up by a date, `table factor by body` by the answer to `body`.",
)  # fmt: skip
UNKNOWN_EFFECT = Kind(
    "R18", "an effect nobody knows", "`{text}` is no effect of leaving a fault", "{cure}",
    "A fault that is left can do three things: `resale falls 25%` (or `$300`), `days to sell rise 20`, `buyers "
    "fall 30%`.",
)  # fmt: skip
BAD_EFFECT = Kind(
    "R19", "an effect in the wrong measure", "`{text}` takes {wanted}", "write for example `{example}`",
    "The resale falls by a share or an amount, the days to sell rise by days, the buyers fall by a share.",
)  # fmt: skip
NEGATIVE_FIGURE = Kind(
    "R20", "a figure below zero", "`{name}` of a fault may not be negative", "give what it costs, not what it brings",
    "Parts, outside work, labor and waiting are what a repair takes.",
)  # fmt: skip
PROFIT_DRAWN = Kind(
    "R26", "a profit that stands on a chance", "`profit` stands on `{text}`",
    "let it stand on planning values, and look at the chance in a rule",
    "What is repaired is decided by the profit before anything is drawn, so that the profit cannot wait for a chance.",
)  # fmt: skip
CEILING_DRAWN = Kind(
    "R31", "a chance that looks at the ceiling", "`{text}` looks at the ceiling",
    "compare with an amount, or with the price asked",
    "The ceiling is the highest offer at which every rule holds, those that look at a chance among them: no chance can "
    "look at it in turn.",
)  # fmt: skip
NEGATIVE_OFFER = Kind(
    "R22", "a highest offer below zero", "the highest offer is below zero",
    "write for example `setting highest_offer = $50,000`",
    "The ceiling is searched between nothing and `highest_offer`.",
)  # fmt: skip
LEADS_AND_PAGE_TWO = Kind(
    "R23", "a section in two places", "a section that `leads` stands on page one, under the verdict",
    "take out `leads` or `on page two`",
    "`leads` puts a section right under the verdict; `on page two` keeps it for those who read on.",
)  # fmt: skip
NOT_DRAWN = Kind(
    "R24", "something that cannot be drawn", "`{name}` is {found}; what is drawn in this section is {others}",
    "put it into another section, or take out `drawn`",
    "A section that is `drawn` shows amounts of money as bars, or dates along a line of days; one of the two.",
)  # fmt: skip
NEGATIVE_BASE = Kind(
    "R25", "a power of what may be negative", "`{text}` may be negative, and is raised to a power",
    "narrow its range, or write `larger of ({zero}, ...)` around it",
    "A power of something negative goes up and down with its exponent; `power(x, 10)` needs an x that is never below "
    "zero.",
)  # fmt: skip
NOT_TRIED = Kind(
    "R27", "a setting that cannot be tried", "`{name}` is {found}; a curve tries a setting of one number",
    "name a setting that is a number, a percentage, an amount or a quantity",
    "A curve goes from one value of a setting to another by equal steps, everything else as it is.",
)  # fmt: skip
CURVE_STEPS = Kind(
    "R28", "a curve with too many steps", "steps of `{text}` never come to the end, or make more than {most}",
    "take a larger step, or a narrower range",
    "At each step everything that the rules compute is computed anew, under the same repairs and at the same price.",
)  # fmt: skip
MARKET_GAP = Kind(
    "R29", "comparables without a figure", "these comparables have no {missing}", "add for example `{line}`",
    "What other cars bring is brought to this one by figures of the market: what is really paid of an asking price, "
    "how long one may stand, what a year and 10,000 miles take, what condition and title do, and how far prices stray. "
    "None of them is guessed.",
)  # fmt: skip
MARKET_FIGURE = Kind(
    "R30", "a figure that no market has", "`{name}` must be {wanted}, and is {found}", "check the figure",
    "Prices are compared by their ratio, so that what multiplies them is above zero, and what they lose is less than "
    "all of them.",
)  # fmt: skip
EMPTY = Kind(
    "R21", "a block that says too little", "this {what} says nothing yet", "add {wanted}",
    "A season needs a window, a case what must come out, a curve what it tries and what it shows.",
)  # fmt: skip

# ---- F: files and limits -------------------------------------------------------------------------------------------

FILE_TOO_LARGE = Kind(
    "F01", "a file too large", "this file is larger than {most}", "split it, and join the parts by `use`",
    "A rule file or recorded car may have 1 MiB, and 20,000 blocks.",
)  # fmt: skip
TOO_DEEP = Kind(
    "F02", "too much inside one another", "this is nested more than {most} deep", "name parts of it by `let`",
    "Brackets, and operations one inside another, may be 64 deep.",
)  # fmt: skip
NUMBER_TOO_LONG = Kind(
    "F03", "a number too long", "a number may have at most {most} digits", "round it",
    "No figure of the trade needs more than 15 digits, and exactness is promised for that many.",
)  # fmt: skip
USE_OUTSIDE = Kind(
    "F04",
    "a file out of reach",
    "`{target}` lies outside what this file may use",
    "move it beside this file or below it, and write `use \"./name.tell\"`",
    "`use` reaches the bundled rulesets, by their bare names, and files beside or below the one that uses them, after "
    "links are resolved. Nothing else can be read.",
)  # fmt: skip
USE_MISSING = Kind(
    "F05", "a file that is not there", "there is no ruleset `{target}`", "{cure}",
    "A bundled ruleset is used by its bare name, `use \"money\"`; a file of one's own by its path, `use "
    "\"./mine.tell\"`.",
)  # fmt: skip
USE_CYCLE = Kind(
    "F06", "files that use each other", "these files use each other: {path}", "take one `use` out",
    "A file may be used by several others, but not, on any way, by itself.",
)  # fmt: skip
TOO_MANY_FILES = Kind(
    "F07", "too many files", "a ruleset may have at most {most} files", "join some of them",
    "The limit keeps a slip from reading a whole disk.",
)  # fmt: skip
NOT_READABLE = Kind(
    "F08", "a file that cannot be read", "`{target}` cannot be read: {reason}", "{cure}",
    "Rules and cars are plain text files in UTF-8.",
)  # fmt: skip

TOO_MANY_PROBLEMS = Kind(
    "F09", "too many problems", "more than {most} problems; the rest of them is not told", "mend those above first",
    "Where so much is wrong, it is most likely no file of rules, or one mistake that spoils the rest.",
)  # fmt: skip

# ---- C: cars and cases ---------------------------------------------------------------------------------------------

CAR_LINE = Kind(
    "C01", "a line that is no answer", "`{found}` begins no line of a recorded car",
    "{cure}",
    "A recorded car has its title, the day, one line for each answer, and notes.",
)  # fmt: skip
NOT_ASKED = Kind(
    "C02", "an answer nobody asked for", "these rules do not ask `{name}`{again}", "{cure}",
    "Each answer belongs to a question of the rules by its name.",
)  # fmt: skip
ANSWERED_TWICE = Kind(
    "C03", "a question answered twice", "`{name}` is answered twice", "keep one of the two",
    "A car has one answer to each question.",
)  # fmt: skip
CASE_FAILED = Kind(
    "C04",
    "a case that comes out otherwise",
    "this case gives {found}, not {wanted}",
    "mend the rules, or what the case expects",
    "A case is a car and what the rules must say of it. Cases run with every `advisor check`.",
)  # fmt: skip
NO_VERDICT = Kind(
    "C05",
    "rules without a verdict",
    "these rules have no `verdict`",
    "add a `verdict` block, or judge by rules that have one",
    "The verdict is a ladder: `buy when ...`, `renegotiate when ...`, `pass otherwise`.",
)  # fmt: skip
NO_DAY = Kind(
    "C06",
    "a car without a day",
    "the rules look at `today`, and this car has no day",
    "add a line such as `on 2026-04-11`",
    "A recorded car says on which day it was judged; `today` is that day, so that the same file always gives the same "
    "verdict.",
)  # fmt: skip
COMPARABLE_PART = Kind(
    "C08", "a comparable that cannot be read", "`{text}` {why}", "{cure}",
    "A comparable is one line: the price first, then, with commas between and in any order, `asked` or `sold`; "
    "`private`, `dealer` or `auction`; a date; miles; the model year; `rough`, `fair`, `good` or `excellent`; the days "
    "it has stood for sale; `gone`; `title clean`; a note in quotes.",
)  # fmt: skip
NO_COMPARING = Kind(
    "C09", "comparables that nothing asks for", "these rules do not look at comparables",
    "judge it by rules with a block `comparables for resale`, or take the line out",
    "A ruleset says by `comparables for` which question they answer, and by which figures.",
)  # fmt: skip
NO_SUCH_FAULT = Kind(
    "C10", "a fault that these rules do not know", "these rules know no fault `{name}`", "{cure}",
    "`told` and `denied` name faults of the rules: those that the advertisement named, and those that the seller said "
    "were not there.",
)  # fmt: skip
OTHER_RULES = Kind(
    "C07", "recorded with other rules", "this car was recorded with another version of the rules",
    "judge it again, and compare", "A recorded car keeps the hash of the rules it was judged by.",
    _A,
)  # fmt: skip

# ---- M: files of comparables ---------------------------------------------------------------------------------------

NO_PRICE_COLUMN = Kind(
    "M01", "no column of prices", "the first line names no column `price`", "{cure}",
    "A file of comparables is a table as a spreadsheet saves it (CSV). Its first line names the columns, in any order: "
    "`price`, `kind`, `date`, `miles`, `year`, `condition`, `seller`, `days`, `gone`, `title`, `note`. Only `price` "
    "has to be there.",
)  # fmt: skip
NO_PRICE = Kind(
    "M02", "a comparable without a price", "this row has no price", "write what was asked or paid, or delete the row",
    "A car whose price is not known cannot tell what another one brings.",
)  # fmt: skip
UNREADABLE_CELL = Kind(
    "M03", "a cell that cannot be read", "`{text}` in the column `{column}` is no {wanted}", "{cure}",
    "Amounts are figures, `9400` or `$9,400`; dates `2026-04-11`; miles `141,000`, `141k` or `227,000 km`; `gone` is "
    "`yes` or `no`. Words of your own belong in the column `note`.",
)  # fmt: skip
TWO_READINGS = Kind(
    "M04", "a cell that can be read in two ways", "`{text}` in the column `{column}` can be read in two ways", "{cure}",
    "Elsewhere `1.200` is twelve hundred, and `4/11/2026` a day in November. What could mean either is not guessed.",
)  # fmt: skip
UNBELIEVABLE = Kind(
    "M05", "a figure that cannot be", "`{text}` in the column `{column}` {why}", "{cure}",
    "No car is asked for with a negative price, was built next century, or stood for sale tomorrow. Most often a digit "
    "is missing or doubled.",
)  # fmt: skip
TOO_MANY_CELLS = Kind(
    "M06", "a row with too many cells", "this row has {count} cells, but the first line names {columns}",
    "put quotes around what holds a `{sign}`, as in {guess}",
    "A sign that parts cells parts them inside a price and a note too, unless there are quotes around these.",
)  # fmt: skip
BROKEN_ROW = Kind(
    "M07", "a quote that does not fit", "a quote in this row does not open or close a whole cell",
    'put quotes around the whole cell, and write a quote inside it twice, `""`, or delete it',
    'In a table a cell may stand in quotes, `"red, one owner"`; a quote inside such a cell is written twice.',
)  # fmt: skip

# ---- A: advice -----------------------------------------------------------------------------------------------------

NO_BECAUSE = Kind(
    "A01", "a rule without a reason", "`{kind} {name}` does not say why", 'add `because "..."`',
    "A partner who does not know why a rule holds will bend it. `because` is what the verdict is explained with.",
    _A,
)  # fmt: skip
NO_SOURCE = Kind(
    "A02", "a figure without a source", "`{name}` does not say where it comes from",
    'add `source "..."`, `source common practice`, `source house figure` or `source from memory "..."`',
    "Rules, faults and settings say where they come from, so that one knows how far to trust them.",
    _A,
)  # fmt: skip
IDLE_QUESTION = Kind(
    "A03",
    "a question that nothing uses",
    "nothing uses the answer to `{name}`",
    "use it in a rule, a fault or a sum, or drop it",
    "At the car every question costs a minute. One that decides nothing should not be asked.",
    _A,
)  # fmt: skip
IDLE_LET = Kind(
    "A04", "a quantity that nothing uses", "nothing uses `{name}`", "show it, use it, or drop it",
    "A quantity that is neither shown nor used may be a slip of the pen elsewhere.",
    _A,
)  # fmt: skip
IDLE_SETTING = Kind(
    "A05", "a setting that nothing uses", "nothing uses the setting `{name}`", "use it, or drop it",
    "A setting that decides nothing misleads whoever changes it.",
    _A,
)  # fmt: skip
IDLE_WORDS = Kind(
    "A06", "other words that nothing needs", "no text of these rules says `{phrase}`",
    "take the line out, or write the words as the texts do",
    "`words` says how a ruleset puts things: each phrase is replaced wherever the texts of the rules have it.",
    _A,
)  # fmt: skip

# ---- L: later ------------------------------------------------------------------------------------------------------

PROMISE_LATER = Kind(
    "L03", "promises are not proved yet", "this `{word}` is understood, but not proved yet",
    "write a `case` for the car you have in mind, for now",
    "`never` and `always` say what must be true of every possible car. This version checks that they make sense and "
    "does not prove them.",
    _L,
)  # fmt: skip

KINDS: dict[str, Kind] = {k.code: k for k in list(globals().values()) if isinstance(k, Kind)}
"""Every kind by its code."""
