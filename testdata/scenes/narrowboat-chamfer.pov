// The narrowboat's panel with its holes countersunk by hand, against the light of
// a window.
#include "photo.inc"
#declare About = "invented: a narrowboat's cabin panel in blue-grey plastic, four holes with chamfers from half to one and a half times as bright as the face, against a window, tilted 9 degrees";
#declare Status = 3;
#declare Seed = 162;
#declare Photo_width = 2048;
#declare Photo_height = 1536;
#declare Focal_35 = 34.9;
#declare Tint = <0.97, 1, 1.04>;
#declare Antialias = 0.02;
#declare Sharpening = 0.5;
#declare Quality = 92;
#include "panel.inc"
#include "wear.inc"

Camera(<12, -30, 0>, 288, 9, 90, 92)
Window_light(5, 30, 1200, 900, <0.94, 0.98, 1.0>*0.95)
Room_light(180, <1.0, 0.97, 0.92>*0.16)

Plastic(<0.16, 0.19, 0.22>, 0.5, 0.02)
Dusty(<0.42, 0.42, 0.40>, 0.3, 10)
Outline(array[5] {<-64, -124>, <86, -124>, <98, -30>, <86, 64>, <-60, 64>}, 12, 5)
Grille(<10, -82>, 34, 0, 0)
Chamfered_hole(<-20.3, -66.8>, 3.6, 0.6)
Chamfered_hole(<40.2, -67.2>, 3.6, 0.6)
Chamfered_hole(<-20.1, -97.4>, 3.6, 0.6)
Chamfered_hole(<40.4, -97.1>, 3.6, 0.6)
Rib(<52, 50>, <52, -20>, 1.5, 5)
Stray_hole(<70, -58>, 6)
Stray_hole(<-50, -52>, 2.4)
Slot(<70, 10>, 15, 5, 90)
Post(<10, -112>, 4, 4)
Post(<76, -100>, 6, 5)
Panel()

Mesh(<10, -82>, 36, 1.2, 1.8, 1.1, 12, <0.08, 0.08, 0.08>)
Cloth(<10, -82>, 36, 4, <0.02, 0.02, 0.02>)
Crumbs(<-60, -120>, <90, 60>, 50, 0.12, 0.7, <0.40, 0.36, 0.30>, 7)
Square(30, 60, 60, <0, 0>, 0)
Bench(14, Mat(<0.50, 0.48, 0.44>))
Write_truth()
