"""What a job's pages need to be filled in: reading, saying, starting, signing. Standard library only.

The same code answers on the server and, packed beside the rules, on the phone.
"""
