"""From the words of a brief to the records that engineering computes with; one file a subject.

What a brief leaves out is filled here, and only here, with an ordinary choice that is named.
"""
