// The cable car's panel; a washer lies on the square's code: to be refused.
#include "photo.inc"
#declare About = "invented: a cable car's cabin panel in grey plastic, three holes, a washer lies on the square's code, tilted 4 degrees";
#declare Status = 1;
#declare Seed = 165;
#declare Photo_width = 2048;
#declare Photo_height = 1536;
#declare Focal_35 = 34.3;
#declare Antialias = 0.02;
#declare Quality = 86;
#include "panel.inc"
#include "wear.inc"

Camera(<-6, 54, 0>, 280, 4, 60, 88)
Lamp(340, 52, 120, <1.0, 0.97, 0.93>*0.9)
Room_light(120, <0.93, 0.97, 1.0>*0.16)

Plastic(<0.24, 0.25, 0.25>, 0.3, 0.02)
Dusty(<0.45, 0.44, 0.42>, 0.3, 45)
Outline(array[5] {<-82, -54>, <64, -54>, <76, 60>, <62, 164>, <-84, 164>}, 14, 6)
Grille(<-14, 92>, 64, 0, 0)
Mounting_hole(<-58.2, 104.4>, 4.2)
Mounting_hole(<30.6, 107.8>, 4.2)
Mounting_hole(<-12.3, 142.7>, 4.2)
Rib(<48, -36>, <48, 70>, 1.5, 5)
Rib(<-64, 64>, <-64, 10>, 1.5, 5)
Stray_hole(<52, 140>, 7)
Stray_hole(<-66, -36>, 3)
Slot(<-64, 146>, 14, 5, 60)
Post(<58, 90>, 5, 5)
Clip_tower(<60, 20>, 16, 8, 7, 90)
Panel()

Mesh(<-14, 92>, 66, 1.3, 2.6, 1.8, 9, <0.06, 0.06, 0.06>)
Cloth(<-14, 92>, 66, 4, <0.02, 0.02, 0.02>)
Square(33, 60, 60, <0, 0>, 0)
Washer(<7, -5>, 17, 8.4, 1.5, 0.11)
Bench(13, Mat(<0.30, 0.28, 0.25>))
Write_truth()
