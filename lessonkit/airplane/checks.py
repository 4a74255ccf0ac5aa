def contradictions(card):
    return []
