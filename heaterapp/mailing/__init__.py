"""Mail with a paper and the homeowner's link: how it is written, handed to a mail server, and tried again.

words.py      its few sentences, English and Spanish
addresses.py  one address as typed, read or refused by name
letter.py     a record -> the bytes of one mail, the same for every try
translation.py  the paper in the mail's language, made for each try, alike each time, or left out and said so
handing.py    those bytes -> a mail server, over TLS where the settings say so; line.py: the line to it
links.py      the token of the link in a mail, made from the archive's key and stored nowhere
sending.py    what is due, once; rounds.py: the thread that looks again and again
"""
